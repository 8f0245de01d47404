/* The page's side of the job: sends what was changed, shows what came of it. All thinking is done by the server. */
import { show } from "./show.js";
import { holdDrawing } from "./hold.js";
import { offerFractions } from "./keys.js";
import { slide } from "./steer.js";

const one = (selector, within = document) => within.querySelector(selector);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const open = new Set();
let version = Number(document.body.dataset.version);
let fields = JSON.parse(one("#fields").textContent);
let queue = Promise.resolve();

/* asking and showing */

function have() {
  const marks = {};
  for (const box of all("[data-part]")) if (box.dataset.mark) marks[box.dataset.part] = box.dataset.mark;
  if (fields.mark) marks.fields = fields.mark;
  return marks;
}

export function ask(path, body = {}) { // one after the other, in the order they were asked
  const answer = queue.then(() => send(path, body));
  queue = answer.catch(() => {});
  return answer;
}

async function send(path, body) {
  const saving = path === "/save" || path === "/theirs";
  const shown = [...open].filter((name) => path === "/state" || name.startsWith("trace:"));
  const whole = { ...body, ...(saving ? { seen: version } : {}), have: have(), open: shown };
  let answer;
  try {
    answer = await fetch(path, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(whole) });
  } catch {
    say("No connection to the page's program. What you typed still stands here; try it again once it runs.");
    throw new Error("no connection");
  }
  if (!(answer.headers.get("content-type") || "").startsWith("application/json")) {
    say(`Not done: ${(await answer.text()).trim()}`);
    return { status: answer.status };
  }
  const news = await answer.json();
  take(news);
  if (path !== "/state" && open.size > shown.length) lookLater();
  if (path !== "/state" || news.words) say(news.words ? `Not done: ${news.words}` : "");
  return { ...news, status: answer.status };
}

function take(news) {
  version = news.version;
  for (const [name, { mark, text }] of Object.entries(news.parts)) {
    if (name === "fields") {
      fields = { ...JSON.parse(text), mark };
      continue;
    }
    const box = one(`[data-part="${name}"]`);
    if (name === "view-solid") turn(box, text);
    else show(box, text);
    box.dataset.mark = mark;
    if (name === "view-steering") slide(box);
  }
  putPaper();
  fill();
}

let paper = "";
function putPaper() { // the paper chosen in this tab stays chosen when the list of files is shown anew
  const choice = one("#paper");
  if (!choice) return;
  if (paper) choice.value = paper;
  for (const link of all("a[data-paper]")) link.setAttribute("href", `${link.pathname}?paper=${choice.value}`);
}

function fill() { // the texts of all fields; what is being typed is left alone
  for (const field of all("[name]")) {
    const text = fields.fields[field.name];
    if (!text) continue;
    const typing = field === document.activeElement && field.dataset.was !== undefined && field.value !== field.dataset.was;
    if (!typing && field.value !== text[0]) field.value = text[0];
    field.dataset.was = text[0];
    const bad = fields.bad[0] === field.name;
    if (bad) field.setAttribute("aria-invalid", "true"); else field.removeAttribute("aria-invalid");
    const frame = field.closest(".field");
    if (!frame) continue;
    frame.classList.toggle("changed", text[1] === 1);
    frame.classList.toggle("bad", bad);
    one(".doc", frame).dataset.bad = bad ? fields.bad[1] : "";
  }
  for (const row of all("[data-row]")) {
    const [off, doubtful] = fields.rows[row.dataset.row] || ["", 0];
    one(".off", row).textContent = off;
    row.classList.toggle("doubtful", doubtful === 1);
  }
}

function say(words) {
  const line = one("#says");
  line.textContent = words;
  line.hidden = !words;
}

function turn(box, text) { // the turning view is drawn by the script that the shop sheet carries
  box.innerHTML = text;
  const script = document.createElement("script");
  script.src = "/static/turntable.js";
  box.append(script);
}

/* what is typed */

async function typed(field) {
  const [row, column] = field.name.split(/:(?=[012]$)/);
  if (column !== undefined && row.includes("#")) return reading(field, row, Number(column));
  const was = field.dataset.was ?? "";
  if (field.value === was || fields.fields[field.name] === undefined) return;
  const text = field.value;
  const answer = await change(field, was, { do: "set", path: field.name, text, was });
  if (answer.status === 409) say(`Not done: ${answer.words}; you typed ${text || "nothing"}`);
}

async function reading(field, row, column) {
  const at = row.lastIndexOf("#"), file = row.slice(0, at), line = row.slice(at + 1);
  const cell = (i) => one(`[name="${CSS.escape(`${row}:${i}`)}"]`);
  if (line === "new") {
    const station = cell(0), offset = cell(1);
    if (column === 0 || !offset.value.trim()) return;
    const cells = [station.value.trim() || station.placeholder, offset.value.trim(), ""];
    station.value = offset.value = "";
    const answer = await ask("/change", { edits: [{ do: "add-reading", file, cells }] });
    if (answer.status !== 200) [station.value, offset.value] = cells;
    return;
  }
  if (field.value === field.dataset.was) return;
  const cells = [0, 1, 2].map((i) => cell(i).value.trim()), was = [0, 1, 2].map((i) => cell(i).dataset.was);
  await change(field, was[column], { do: "reading", file, line: Number(line), cells, was });
}

async function change(field, was, edit) { // said once, however often the browser tells that the field has changed
  field.dataset.was = field.value;
  try {
    return await ask("/change", { edits: [edit] });
  } catch (error) {
    field.dataset.was = was;
    throw error;
  }
}

document.addEventListener("change", (event) => {
  if (event.target.name) typed(event.target);
  if (event.target.id === "paper") { paper = event.target.value; putPaper(); }
});

document.addEventListener("keydown", (event) => {
  const field = event.target, command = event.ctrlKey || event.metaKey;
  if (command && event.key === "s") { event.preventDefault(); field.blur?.(); act("save"); }
  else if (command && (event.key === "z" || event.key === "y") && !(field.name && field.value !== field.dataset.was)) {
    event.preventDefault();
    act(event.key === "y" || event.shiftKey ? "redo" : "undo");
  } else if (field.name && field.tagName === "INPUT" && ["Enter", "ArrowUp", "ArrowDown"].includes(event.key)) step(event, field);
  else if (event.target.getAttribute?.("role") === "tab" && ["ArrowLeft", "ArrowRight"].includes(event.key)) {
    const other = all("[role=tab]").find((tab) => tab !== event.target);
    tab(other.getAttribute("aria-controls"));
    other.focus();
  }
});

function step(event, field) { // Enter and the arrows go down and up a column, or from field to field
  if (field.form && event.key === "Enter") return;
  const table = field.closest("table"), column = field.name.slice(-2);
  if (!table && event.key !== "Enter") return;
  const line = table ? all(`input[name$="${column}"]`, table) : all("#numbers input, #numbers select").filter((f) => f.offsetParent);
  const next = line[line.indexOf(field) + (event.key === "ArrowUp" ? -1 : 1)];
  event.preventDefault();
  if (next) { next.focus(); next.select?.(); return; }
  const before = one('[name$="#new:0"]', table ?? document);
  typed(field);
  if (table && before && !before.placeholder) before.focus();
}

/* what is pressed */

function act(name, over = "") {
  const body = name === "save" || name === "theirs" ? { over } : {};
  return ask(`/${name}`, body);
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("button, a");
  if (!button) return;
  const { act: what, do: change, path, file, line, view, viewTrace, goto, over, cure, tab: name } = button.dataset;
  if (cure) ask("/change", { edits: JSON.parse(cure).map(([to, text]) => ({ do: "set", path: to, text })) });
  else if (what) act(what, over);
  else if (change === "clear-readings") ask("/change", { edits: [{ do: change, file }] });
  else if (change === "remove-reading") ask("/change", { edits: [{ do: change, file, line: Number(line) }] });
  else if (change) ask("/change", { edits: [{ do: change, path }] });
  else if (view) look(button, view);
  else if (viewTrace) choose(viewTrace);
  else if (goto) go(goto);
  else if (button.getAttribute("role") === "tab") tab(button.getAttribute("aria-controls"));
  if (name) tab(name);
});

document.addEventListener("submit", async (event) => {
  const form = event.target, { second, line, named } = form.dataset;
  if (second === undefined && named === undefined) return;
  event.preventDefault();
  const field = one("input", form);
  if (named !== undefined) return ask("/change", { edits: [{ do: "add", path: named, name: field.value }] });
  const station = one(`[name="${CSS.escape(`${second}#${line}:0`)}"]`).value;
  ask("/change", { edits: [{ do: "add-reading", file: second, below: Number(line), cells: [station, field.value, "read again"] }] });
});

function look(button, name) {
  const shown = button.getAttribute("aria-pressed") !== "true", box = one(`#view-${name}`);
  button.setAttribute("aria-pressed", String(shown));
  box.hidden = !shown;
  if (shown) open.add(name); else open.delete(name);
  if (shown) { box.textContent = "One moment…"; box.dataset.mark = ""; ask("/state"); }
}

let later = 0;
function lookLater() { // views that take longer to draw follow once the hand rests
  clearTimeout(later);
  later = setTimeout(() => ask("/state"), 200);
}

function choose(file) {
  for (const name of open) if (name.startsWith("trace:")) open.delete(name);
  open.add(`trace:${file}`);
  for (const button of all("[data-view-trace]")) button.setAttribute("aria-pressed", String(button.dataset.viewTrace === file));
  ask("/state");
}

function tab(name) {
  for (const button of all("[role=tab]")) {
    const on = button.getAttribute("aria-controls") === name;
    button.setAttribute("aria-selected", String(on));
    button.tabIndex = on ? 0 : -1;
    one(`#${button.getAttribute("aria-controls")}`).hidden = !on;
  }
}

function go(name) {
  tab(name.includes("#") ? "readings" : "numbers");
  const field = one(`[name="${CSS.escape(name)}"]`);
  for (let group = field?.closest("details"); group; group = group.parentElement.closest("details")) group.open = true;
  field?.focus();
}

/* what happens elsewhere: one channel, closed while nobody looks, so that many tabs share a browser's few connections */

let channel = null;
function listen() {
  channel?.close();
  channel = null;
  if (document.hidden) return;
  channel = new EventSource(`/news?seen=${version}`);
  channel.onopen = () => { if (document.body.classList.contains("lost")) { document.body.classList.remove("lost"); say(""); ask("/state"); } };
  channel.onmessage = (event) => queue.then(() => { if (Number(event.data) > version) ask("/state"); });
  channel.onerror = () => { document.body.classList.add("lost"); say("No connection to the page's program. What is on this page still stands here."); };
}
document.addEventListener("visibilitychange", () => { listen(); if (!document.hidden) ask("/state"); });
window.addEventListener("beforeunload", (event) => { if (one(".saved.not")) event.preventDefault(); });

putPaper();
fill();
holdDrawing(one("[data-part=drawing]"), ask);
offerFractions(one("#keys"));
listen();
