/* What is tried with the job: asked by a form, told how far it is, called off, shown where it was asked. */
import { post, read } from "./post.js";

const one = (selector, within = document) => within.querySelector(selector);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const POLL_MS = 250;
const DRAWING = /\.dxf$/i;

export function trials({ settled, job }) {
  const box = one("#trials"), busy = one("#trial-busy"), says = one("#trial-says"), shown = one("#trial-shown");
  let running = null, file = null, numbers = [];

  for (const group of all("[data-trial]", box)) group.addEventListener("toggle", () => { if (group.open) choices(); });

  async function choices() { // what can be chosen now; what is chosen already stays chosen
    await settled();
    const told = await post("/trial/choices", {});
    if (told.refused) return say(told.refused);
    numbers = told.numbers;
    for (const list of all("[data-choices]", box)) {
      const kind = list.dataset.choices, names = { numbers: numbers.map(({ key }) => key), beside: told.beside, plates: told.plates }[kind];
      if (list.tagName === "SELECT") options(list, names, kind !== "beside"); else checks(list, names);
    }
    range();
  }

  function options(select, names, spoken) {
    const now = select.value, kept = all("option[value='']", select);
    select.replaceChildren(...kept, ...names.map((value) => {
      const textContent = spoken ? value.replaceAll(/[._]/g, " ") : value;
      return Object.assign(document.createElement("option"), { value, textContent });
    }));
    if (now && names.includes(now)) select.value = now;
  }

  function checks(list, names) {
    const on = new Set(all(":checked", list).map((input) => input.value));
    list.replaceChildren(...names.map((value) => {
      const label = document.createElement("label");
      label.append(Object.assign(document.createElement("input"), { type: "checkbox", value, checked: on.has(value) }), ` ${value}`);
      return label;
    }));
    if (!names.length) list.textContent = "There is nothing yet: keep this job as a variant, then change it.";
  }

  const key = one("#trial-key");
  key.addEventListener("change", () => range(true));
  function range(anew = false) { // from the job's own number to both sides, until something else is typed
    const at = numbers.find((each) => each.key === key.value);
    for (const name of at ? ["begin", "end", "step"] : []) {
      const field = one(`#trial-${name}`);
      if (anew || !field.value) field.value = at[name];
    }
  }

  const told = (...names) => Object.fromEntries(names.map((name) => [name, one(`#trial-${name}`).value]));
  const asking = {
    compare: () => post("/trial/compare", { beside: all("[data-kind] :checked", box).map((input) => input.value) }),
    number: () => post("/trial/number", told("key", "begin", "end", "step")),
    revise: () => post("/trial/revise", told("old", "keep")),
    plate: async () => {
      if (!file) return { refused: "choose the plate's drawing or its photograph first" };
      const asked = { ...told("thickness", "bar", "called", "play", "turn"), name: file.name, this_face: one("#trial-this_face").checked };
      const query = new URLSearchParams({ ...asked, ...(one("#paper") ? { paper: one("#paper").value } : {}) });
      return read(await fetch(`/trial/plate?${query}`, { method: "POST", headers: { "content-type": "application/octet-stream" }, body: file }));
    },
  };

  document.addEventListener("click", async ({ target }) => { // a cure: beside the job as it stands, nothing written yet
    const cure = target.dataset?.try;
    if (!cure) return;
    await settled();
    const group = one("[data-trial=compare]", box), edits = JSON.parse(cure).map(([path, text]) => ({ do: "set", path, text }));
    group.open = true;
    await run(group, () => post("/trial/cure", { edits }));
    if (shown.hidden) return;
    const apply = Object.assign(document.createElement("button"), { type: "button", textContent: "Write it in" });
    apply.dataset.cure = cure;
    shown.append(apply);
  });

  box.addEventListener("submit", async (event) => {
    event.preventDefault();
    await settled(); // what was typed just now belongs to it
    const form = event.target;
    if (form.id === "keep-variant") keep(); else run(form.closest("details"), asking[form.dataset.trialForm]);
  });

  async function keep() {
    const field = one("#variant-title");
    const kept = await post("/jobs/copy", { title: field.value.trim(), job, stay: true });
    if (kept.refused) return say(`Not kept: ${kept.refused}`);
    field.value = "";
    say("");
    choices();
  }

  function take(chosen) {
    if (!chosen) return;
    file = chosen;
    one("#trial-file-name").textContent = file.name;
    for (const field of all(".photo-only", box)) field.hidden = DRAWING.test(file.name);
  }
  one("#trial-file").addEventListener("change", (event) => take(event.target.files[0]));
  one(".drop-plate").addEventListener("dragover", (event) => event.preventDefault());
  one(".drop-plate").addEventListener("drop", (event) => { event.preventDefault(); take(event.dataTransfer.files[0]); });

  one("button", busy).addEventListener("click", () => {
    if (running?.id) post("/trial/stop", { id: running.id });
    end("Called off.");
  });

  async function run(group, begin) {
    const mine = running = { id: "" };
    say("");
    group.append(busy, says, shown); // it is told and shown where it was asked
    shown.hidden = true;
    tell("beginning", 0);
    try {
      let told = await begin();
      mine.id = told.id;
      while (running === mine && !told.refused && !told.done) {
        if (told.step) { tell(told.step, told.share); await new Promise((done) => { setTimeout(done, POLL_MS); }); }
        told = await post("/trial/look", { id: mine.id });
      }
      if (running !== mine) return;
      end(told.refused ? `Not done: ${told.refused}` : "");
      if (told.shown) put(mine.id, told);
    } catch {
      if (running === mine) end("No connection to the page's program. Start it again, then try once more.");
    }
  }

  function tell(words, share) {
    one("span", busy).textContent = `${words}…`;
    one("progress", busy).value = share;
    busy.hidden = false;
  }

  function end(words) {
    running = null;
    busy.hidden = true;
    say(words);
  }

  function put(id, { shown: markup, files }) {
    shown.innerHTML = markup; // the page's own program wrote it, every word of a user's as text
    const list = Object.assign(document.createElement("ul"), { className: "files" });
    for (const name of files) {
      const item = document.createElement("li");
      item.append(Object.assign(document.createElement("a"), { href: `/trial/files/${id}/${encodeURIComponent(name)}`, download: name, textContent: name }));
      list.append(item);
    }
    if (files.length) shown.append(list);
    shown.hidden = false;
    shown.focus({ preventScroll: true });
    shown.scrollIntoView({ block: "nearest" });
  }

  function say(words) {
    says.textContent = words;
    says.hidden = !words;
  }
}
