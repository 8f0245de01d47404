/* What is typed: said once, kept until the server has taken it, and never laid over what another wrote meanwhile.
   What waits is listed above the page: unsent while there is no connection, or in a clash with both values. */
const one = (selector, within = document) => within.querySelector(selector);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const waiting = new Map(); // by the field's name, or a row's number: { edit, text, state, words }
let ask, wonder, fields, rows = 0;

export function takeTyping(tools) { ({ ask, wonder } = tools); }

export const untaken = () => waiting.size > 0;

/* the texts of all fields; what is being typed, or waits to be taken, is left alone */

export function fill(news) {
  fields = news;
  for (const field of all("[name]")) {
    const text = fields.fields[field.name];
    if (!text) continue;
    const { was } = field.dataset, typing = field === document.activeElement && was !== undefined && field.value !== was;
    const held = waiting.get(field.name);
    if (held?.state === "clash" && field.value === text[0]) waiting.delete(field.name);
    if (typing && text[0] !== was && text[0] !== field.value && held?.state !== "sent") hold(field.name, { state: "clash" });
    if (!typing && !waiting.has(field.name)) {
      if (field.value !== text[0]) field.value = text[0];
      field.dataset.was = text[0];
    }
    const bad = fields.bad[0] === field.name;
    if (bad) field.setAttribute("aria-invalid", "true"); else field.removeAttribute("aria-invalid");
    const frame = field.closest(".field");
    if (!frame) continue;
    frame.classList.toggle("changed", text[1] === 1);
    frame.classList.toggle("bad", bad);
    one(".doc", frame).dataset.bad = bad ? fields.bad[1] : "";
    one(".placed", frame).textContent = fields.placed[field.name] ?? "";
  }
  for (const row of all("[data-row]")) {
    const [off, doubtful] = fields.rows[row.dataset.row] || ["", 0];
    const beside = one(".off", row); // a fit note has none
    if (beside) beside.textContent = off;
    row.classList.toggle("doubtful", doubtful === 1);
  }
  list();
}

function hold(name, what) {
  waiting.set(name, { ...waiting.get(name), ...what });
}

function list() { // what waits, and what can be done about it
  const items = [...waiting].filter(([, held]) => held.state !== "sent").map(([name, held]) => {
    const item = document.createElement("li"), field = named(name), clash = held.state === "clash";
    const label = field ? (field.labels[0]?.textContent.trim() || field.getAttribute("aria-label")) : held.words;
    const mine = field ? field.value : held.text, theirs = fields.fields[name]?.[0] ?? "";
    item.textContent = clash
      ? `${label}: it is ${theirs || "empty"} by now, set elsewhere; you typed ${mine || "nothing"}. `
      : `${label}: ${mine || "nothing"} is not taken yet${held.why ? ` (${held.why})` : ""}. `;
    const choices = clash
      ? [["keep", `Put in ${mine || "nothing"}`], ["drop", `Leave ${theirs || "it empty"}`]]
      : [["keep", "Try it again"], ["drop", "Drop it"]];
    for (const [what, words] of choices) {
      const button = document.createElement("button");
      Object.assign(button, { type: "button", className: "small", textContent: words });
      button.dataset[what] = name;
      item.append(button, " ");
    }
    return item;
  });
  const box = one("#waiting");
  if (items.map((i) => i.innerHTML).join() !== all("li", box).map((i) => i.innerHTML).join()) box.replaceChildren(...items);
  box.hidden = !items.length;
  for (const field of all(".untaken")) field.classList.remove("untaken");
  for (const [name, held] of waiting) if (held.state !== "sent") named(name)?.classList.add("untaken");
}

const named = (name) => one(`[name="${CSS.escape(name)}"]`);

/* saying it */

async function say(name, edit, text, words) {
  const held = { edit, text, words, state: "sent" };
  waiting.set(name, held);
  const answer = await ask("/change", { edits: [edit] }).catch(() => ({ status: 0 }));
  if (waiting.get(name) === held) {
    if (answer.status === 200) waiting.delete(name);
    else if (answer.status === 409 && named(name)) held.state = "clash";
    else Object.assign(held, { state: "unsent", why: answer.words || "no connection" });
  }
  fill(fields);
  return answer;
}

function editOf(field, was) { // what is to be changed, where it stood at ``was``
  const [row, column] = field.name.split(/:(?=[012]$)/);
  if (column === undefined || !row.includes("#")) return { do: "set", path: field.name, text: field.value, was };
  const at = row.lastIndexOf("#"), cells = [0, 1, 2].map((i) => named(`${row}:${i}`));
  return {
    do: "reading", file: row.slice(0, at), line: Number(row.slice(at + 1)), cells: cells.map((c) => c.value.trim()),
    was: cells.map((c) => (c === field ? was : c.dataset.was)),
  };
}

export async function typed(field) {
  const next = field.name.match(/^(.*)#new:([01])$/);
  if (next) return next[2] === "1" ? newRow(next[1]) : undefined;
  if (fields.fields[field.name] === undefined) return;
  const held = waiting.get(field.name), was = held?.state === "sent" ? held.text : (field.dataset.was ?? "");
  if (field.value === was) {
    if (held?.state !== "sent") { waiting.delete(field.name); fill(fields); }
    return;
  }
  if (field.name === "units" && fields.bare) return units(field, was);
  const asked = fields.asked[`${field.name}=${field.value}`];
  if (asked && !(await wonder(asked, ["Change nothing", "Change it"]))) { field.value = was; return; }
  return say(field.name, editOf(field, was), field.value);
}

async function units(field, was) { // a number without a unit: is it the size that stays, or the number?
  const [label, number, unit] = fields.bare, to = field.value || "in";
  const choice = await wonder(
    `The job has numbers without a unit, as ${label} ${number}, and readings. What shall they be in a job in ${to}?`,
    ["Change nothing", `Keep the sizes: ${label} stays ${number} ${unit}`, `Keep the numbers: ${label} becomes ${number} ${to}`]);
  if (!choice) field.value = was;
  else say("units", { do: "units", to, keep: ["", "sizes", "numbers"][choice] }, field.value);
}

function newRow(file) {
  const [station, offset] = [0, 1].map((i) => named(`${file}#new:${i}`));
  if (!offset.value.trim()) return;
  const cells = [station.value.trim() || station.placeholder, offset.value.trim(), ""];
  station.value = offset.value = "";
  return say(`row ${rows++}`, { do: "add-reading", file, cells }, `${cells[0]}, ${cells[1]}`, file);
}

/* rows out of a spreadsheet: stations and offsets beside each other, or offsets alone at the stations that follow */

document.addEventListener("paste", (event) => {
  const next = event.target.name?.match(/^(.*)#new:([01])$/), text = event.clipboardData?.getData("text") ?? "";
  if (!event.target.closest?.("table input") || !/[\t\n\r]/.test(text.trim())) return undefined;
  event.preventDefault(); // or the lines would run together
  if (!next) return void wonder("Several readings go into the empty row at the end of a trace; one goes in here.", ["Leave it"]);
  const lines = text.split(/\r\n?|\n/).map((line) => line.split("\t").map((cell) => cell.trim())).filter((line) => line.some(Boolean));
  if (!lines[0].some((cell) => /\d/.test(cell))) lines.shift(); // what the columns are called
  const alone = lines.every((line) => line.filter(Boolean).length < 2);
  if (!lines.length) return undefined;
  if (alone && next[2] === "0") return void wonder("These are stations alone. Copy both columns, or put offsets into the field for an offset.", ["Leave it"]);
  const [, file] = next, station = named(`${file}#new:0`);
  const readings = lines.map((line) => alone ? ["", line.find(Boolean), ""] : [0, 1, 2].map((i) => line[i] ?? ""));
  if (alone) readings[0][0] = station.value.trim();
  station.value = "";
  return say(`row ${rows++}`, { do: "add-readings", file, rows: readings }, `${readings.length} readings`, file);
});

export function noteIt(field) { // a fit note of a plate, with what is chosen beside it
  const section = field.closest("[data-note-of]"), [station, gap] = all("[data-note]", section);
  if (!station.value.trim() || !gap.value.trim()) { (station.value.trim() ? gap : station).focus(); return undefined; }
  const file = one("[data-note-put]", section).dataset.notePut, cells = [station.value.trim(), gap.value.trim(), ""];
  const of = { plate: section.dataset.noteOf };
  for (const chosen of all("[data-of]", section)) of[chosen.dataset.of] = chosen.value.trim();
  station.value = gap.value = "";
  station.focus();
  return say(`row ${rows++}`, { do: "add-reading", file, cells, of }, `${cells[0]}, ${cells[1]}`, `${section.dataset.noteOf}, ${file}`);
}

document.addEventListener("keydown", (event) => {
  const { note } = event.target.dataset ?? {};
  if (event.key !== "Enter" || note === undefined) return;
  event.preventDefault();
  if (note === "0") one("[data-note='1']", event.target.closest("tr")).focus(); else noteIt(event.target);
});

document.addEventListener("click", (event) => {
  if (event.target.dataset?.notePut) noteIt(event.target);
});

let telling = null;
export function sayAgain() { // the connection is back; two that notice it are one, lest a reading be taken twice
  telling ??= tellAll().finally(() => { telling = null; });
  return telling;
}

async function tellAll() { // in the order typed
  for (const name of [...waiting.keys()]) {
    const held = waiting.get(name);
    if (held?.state !== "unsent") continue;
    if (isThere(held.edit)) waiting.delete(name); else await again(name, held);
  }
  fill(fields);
}

function isThere(edit) { // the answer was lost on its way, not the reading
  const cells = edit.cells ?? edit.rows?.at(-1);
  if (!/^add-reading/.test(edit.do)) return false;
  const within = edit.of ? one(`[data-note-of="${CSS.escape(edit.of.plate)}"]`) : document;
  const last = within && all(`[data-row^="${CSS.escape(edit.file)}#"]`, within).at(-1);
  return last && all("input", last).slice(0, 2).every((cell, i) => !cells[i] || cell.value === cells[i]);
}

function again(name, held) {
  const field = named(name);
  if (!field) return say(name, held.edit, held.text, held.words);
  const was = held.state === "clash" ? fields.fields[name][0] : field.dataset.was;
  return say(name, held.edit?.do === "units" ? held.edit : editOf(field, was), field.value);
}

// a press on a choice must not say the field first: its item would go from under the finger, and the choice with it
document.addEventListener("mousedown", (event) => {
  const { keep, drop } = event.target.dataset ?? {};
  if (keep !== undefined || drop !== undefined) event.preventDefault();
});

document.addEventListener("click", (event) => {
  const { keep, drop } = event.target.dataset ?? {};
  if (keep !== undefined) again(keep, waiting.get(keep));
  if (drop === undefined) return;
  const field = named(drop);
  waiting.delete(drop);
  if (field) field.value = field.dataset.was = fields.fields[drop][0];
  fill(fields);
});

/* Enter and the arrows go down and up a column, or from field to field */

export function step(event, field) {
  if (field.form && event.key === "Enter") return;
  const table = field.closest("table"), column = field.name.slice(-2);
  if (!table && event.key !== "Enter") return;
  const line = table ? all(`input[name$="${column}"]`, table) : all("#numbers input, #numbers select").filter((f) => f.offsetParent);
  const next = line[line.indexOf(field) + (event.key === "ArrowUp" ? -1 : 1)];
  event.preventDefault();
  if (next) { next.focus(); next.select?.(); return; }
  if (!table) return typed(field);
  const note = one("[data-note='0']", table);
  if (note) { typed(field); note.focus(); return undefined; }
  const [station, offset] = [0, 1].map((i) => one(`[name$="#new:${i}"]`, table));
  // who types stations goes on with the next station, who leaves them to the page with the next offset
  const stations = station.value.trim() || !station.placeholder;
  typed(field);
  if (field === station || (field === offset && !stations)) offset.focus();
  else station.focus();
}
