/* The page's side of the job: sends what was changed, shows what came of it. All thinking is done by the server. */
import { show } from "./show.js";
import { holdDrawing } from "./hold.js";
import { madeFiles } from "./files.js";
import { offerFractions } from "./keys.js";
import { photographs } from "./photo.js";
import { stay } from "./stay.js";
import { trials } from "./trials.js";
import { fill, sayAgain, step, takeTyping, typed, untaken } from "./typed.js";

const MOVING = { "view-solid": "turntable", "view-steering": "linkage" };

const one = (selector, within = document) => within.querySelector(selector);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const open = new Set();
const { job } = document.body.dataset; // which job this tab shows: another one may be open by now
let version = Number(document.body.dataset.version);
let fields = JSON.parse(one("#fields").textContent);
let queue = Promise.resolve(), retry = 0;
const known = sessionStorage.getItem("tab"), own = known ?? crypto.getRandomValues(new Uint32Array(2)).join("-");
sessionStorage.setItem("tab", own); // whose steps are whose: undo takes back what this tab did

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
  const held = Boolean(body.gesture?.startsWith("drag ")) && document.body.classList.contains("holding");
  const whole = { ...body, held, ...(saving ? { seen: version } : {}), have: have(), open: shown, tab: own, job };
  let answer;
  try {
    answer = await fetch(path, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(whole) });
  } catch {
    say("No connection to the page's program. What you typed still stands here; try it again once it runs.");
    clearTimeout(retry);
    retry = setTimeout(back, 2500);
    throw new Error("no connection");
  }
  if (answer.status === 410) return elsewhere(await answer.text());
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

let leaving = false;
function elsewhere(words) { // the job of this tab is not open any more: what was typed into it waits for it beside its file
  channel?.close();
  if (untaken()) say(`Not done: ${words.trim()}`);
  else { leaving = true; location.reload(); }
  return { status: 410 };
}

function take(news) {
  version = news.version;
  for (const [name, { mark, text }] of Object.entries(news.parts)) {
    if (name === "fields") {
      fields = { ...JSON.parse(text), mark };
      continue;
    }
    const box = one(`[data-part="${name}"]`);
    if (MOVING[name]) move(box, text, MOVING[name]);
    else show(box, text);
    box.dataset.mark = mark;
  }
  one("#undo").disabled = !news.undo;
  one("#redo").disabled = !news.redo;
  putPaper();
  if (news.parts.fields) fill(fields);
}

let paper = localStorage.getItem("paper") ?? "";
function putPaper() { // the paper chosen on this machine stays chosen when the list of files is shown anew
  const choice = one("#paper");
  if (!choice) return;
  if (paper) choice.value = paper;
  for (const link of all("a[data-paper]")) link.setAttribute("href", `${link.pathname}?paper=${choice.value}`);
}

function say(words) {
  const line = one("#says");
  line.textContent = words;
  line.hidden = !words;
}

function wonder(words, answers) { // asks whoever reads the page; the number of the answer, 0 (the first) if there is none
  const box = one("#ask"), row = one(".buttons", box);
  one("#ask-words").textContent = words;
  row.replaceChildren(...answers.map((text, value) =>
    Object.assign(document.createElement("button"), { type: "submit", textContent: text, value })));
  box.returnValue = "";
  box.showModal();
  return new Promise((done) => { box.addEventListener("close", () => done(Number(box.returnValue)), { once: true }); });
}

function move(box, text, name) { // what moves is drawn by the scripts that the shop sheet carries
  box.innerHTML = text;
  const script = document.createElement("script");
  script.src = `/static/${name}.js`;
  box.append(script);
}

/* what is typed */

document.addEventListener("change", (event) => {
  if (event.target.name) typed(event.target);
  if (event.target.id === "paper") { paper = event.target.value; localStorage.setItem("paper", paper); putPaper(); }
});

document.addEventListener("keydown", (event) => {
  const field = event.target, command = event.ctrlKey || event.metaKey;
  if (command && event.key === "s") { event.preventDefault(); field.blur?.(); act("save"); }
  else if (command && (event.key === "z" || event.key === "y") && !(field.name && field.value !== field.dataset.was)) {
    event.preventDefault();
    act(event.key === "y" || event.shiftKey ? "redo" : "undo");
  } else if (command && event.key === "Delete" && field.closest?.("[data-row]")) one(".take-out", field.closest("[data-row]")).click();
  else if (!event.altKey && field.name && field.tagName === "INPUT" && ["Enter", "ArrowUp", "ArrowDown"].includes(event.key)) step(event, field);
  else if (event.target.getAttribute?.("role") === "tab" && ["ArrowLeft", "ArrowRight"].includes(event.key)) {
    const other = all("[role=tab]").find((tab) => tab !== event.target);
    tab(other.getAttribute("aria-controls"));
    other.focus();
  }
});

/* what is pressed */

function act(name, over = "") {
  const body = name === "save" || name === "theirs" ? { over } : {};
  return ask(`/${name}`, body);
}

document.addEventListener("click", async (event) => {
  const button = event.target.closest("button, a");
  if (!button) return;
  const { act: what, do: change, path, file, line, view, viewTrace, goto, over, cure, tab: name, sure } = button.dataset;
  if (sure && !(await wonder(`${sure} Undo brings it back.`, ["Leave it", "Take it out"]))) return;
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
  if (form.id === "copy") return copy(event);
  if (second === undefined && named === undefined) return;
  event.preventDefault();
  const field = one("input", form);
  if (named !== undefined) return ask("/change", { edits: [{ do: "add", path: named, name: field.value }] });
  const station = one(`[name="${CSS.escape(`${second}#${line}:0`)}"]`).value;
  ask("/change", { edits: [{ do: "add-reading", file: second, below: Number(line), cells: [station, field.value, "read again"] }] });
});

async function copy(event) {
  event.preventDefault();
  await queue; // what was typed just now belongs to the copy as well
  const body = JSON.stringify({ title: one("#copy-title").value.trim(), job });
  const answer = await fetch("/jobs/copy", { method: "POST", headers: { "content-type": "application/json" }, body });
  if (!answer.ok) return say(`Not done: ${(await answer.text()).trim()}`);
  leaving = true;
  location.reload();
}

function look(button, name) {
  const shown = button.getAttribute("aria-pressed") !== "true", box = one(`#view-${name}`);
  button.setAttribute("aria-pressed", String(shown));
  box.hidden = !shown;
  if (shown) open.add(name); else open.delete(name);
  if (shown) { box.textContent = "One moment…"; box.dataset.mark = ""; ask("/state"); }
}

document.addEventListener("toggle", ({ target }) => { // what stands folded up is asked for once it is opened
  const { fold } = target.dataset;
  if (!fold) return;
  if (target.open) open.add(fold); else open.delete(fold);
  if (target.open) ask("/state");
}, true);

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
  channel.onopen = () => { if (document.body.classList.contains("lost")) { document.body.classList.remove("lost"); back(); } };
  channel.onmessage = (event) => queue.then(() => { if (Number(event.data) > version) ask("/state"); });
  channel.onerror = () => { document.body.classList.add("lost"); say("No connection to the page's program. What is on this page still stands here."); };
}
async function back() { // the program may be another one by now, which counts its versions anew
  await ask("/state");
  say("");
  await sayAgain();
  listen();
}
document.addEventListener("visibilitychange", () => { listen(); if (!document.hidden) ask("/state"); });
window.addEventListener("beforeunload", (event) => { if (!leaving && (one(".saved.not") || untaken())) event.preventDefault(); });

takeTyping({ ask, wonder });
putPaper();
fill(fields);
if (known) ask("/state"); // what this tab can undo since before it was loaded anew
holdDrawing(one("[data-part=drawing]"), ask, one("#unlock"), one("#beside"));
stay(one(".bar"), one("[data-part=drawing]"));
offerFractions(one("#keys"));
photographs({ ask });
madeFiles();
trials({ settled: () => queue, job });
listen();
