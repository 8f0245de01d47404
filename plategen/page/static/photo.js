/* A trace read off photographs: sent, looked at, set right by hand, taken. All measuring is done by the server; here
   points of the edge are named by their number, as they are told with each answer. */
const one = (selector, within = document) => within.querySelector(selector);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const TAP_PX = 14, DOT_PX = 9, REACH_PX = 24, SVG = "http://www.w3.org/2000/svg";
const HOW = {
  straight: "Tap both ends of the straight edge.",
  out: "Tap both ends of the stretch to leave out, or draw along it.",
  back: "Tap both ends of the stretch to put back, or draw along it.",
};
let ask, box, id = "", file = "", shown = null, steps = [], mode = "", first = null, held = null, press = null;
let queue = Promise.resolve(), count = 0, wanted = false, measuring = false;

export function photographs(tools) {
  ({ ask } = tools);
  box = one("#photo");
  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("[data-photo]");
    if (button) begin(button.dataset.photo);
  });
  for (const input of all("input[type=file]", box)) input.addEventListener("change", () => { send([...input.files]); input.value = ""; });
  one("#photo-measure").addEventListener("click", () => { steps = []; measure(); });
  one("#photo-take").addEventListener("click", take);
  one("#photo-away").addEventListener("click", () => box.close());
  box.addEventListener("close", away);
  for (const button of all("[data-mode]", box)) button.addEventListener("click", () => arm(mode === button.dataset.mode ? "" : button.dataset.mode));
  one("#photo-undo").addEventListener("click", () => { steps.pop(); measure(); });
  for (const button of all("[data-zoom]", box)) button.addEventListener("click", () => zoom(Number(button.dataset.zoom)));
  for (const name of ["#photo-thickness", "#photo-bar"]) one(name).addEventListener("keydown", (event) => {
    if (event.key === "Enter") { event.preventDefault(); one("#photo-measure").click(); }
  });
  const files = (event) => [...(event.dataTransfer?.types ?? [])].includes("Files");
  document.addEventListener("dragover", (event) => { if (files(event)) event.preventDefault(); });
  document.addEventListener("drop", async (event) => { // a photograph that misses the trace does not take the page away
    if (!files(event)) return;
    event.preventDefault();
    const dropped = [...event.dataTransfer.files], on = event.target.closest?.("[data-drop]");
    if (!box.open && !on) return;
    if (!box.open) await begin(on.dataset.drop);
    send(dropped);
  });
  hands(one("#photo-picture"));
}

/* opening, sending, putting away */

async function begin(name) {
  file = name;
  steps = []; shown = null; id = "";
  arm("");
  one("#photo-head").textContent = `${name} off a photograph`;
  one("#photo-list").replaceChildren();
  one("#photo-see").hidden = true;
  one("#photo-told").hidden = false;
  one("#photo-take").disabled = true;
  say("");
  box.showModal();
  queue = work("Making ready", () => post("open", { file })).then((answer) => { // what is chosen meanwhile waits for it
    if (answer.status === 200) id = answer.id;
    else one("#photo-told").hidden = true;
  });
  await queue;
}

function away() {
  arm("");
  if (id) post("close", { id }).catch(() => {});
  id = "";
  one("#photo-picture").replaceChildren();
}

function send(files) {
  for (const photograph of files) queue = queue.then(() => sendOne(photograph));
  return queue;
}

async function sendOne(photograph) {
  if (!id) return;
  const answer = await work(`Sending ${photograph.name}`, (told) => upload(photograph, told));
  if (answer.status !== 200) return;
  const item = document.createElement("li");
  item.textContent = `${photograph.name}: ${answer.pages} ${answer.pages === 1 ? "page" : "pages"} seen`;
  one("#photo-list").append(item);
  if (shown) { steps = []; await measure(); }
  else one("#photo-thickness").focus();
}

function upload(photograph, told) { // the one request whose way there can be followed
  return new Promise((done) => {
    const request = new XMLHttpRequest();
    request.open("POST", `/photo/add?${new URLSearchParams({ id, name: photograph.name })}`);
    request.setRequestHeader("content-type", photograph.type.startsWith("image/") ? photograph.type : "application/octet-stream");
    request.upload.onprogress = (event) => { if (event.lengthComputable) told(event.loaded / event.total); };
    request.upload.onload = () => told(null, `Looking for the pages in ${photograph.name}`);
    request.onload = () => done(understood(request.status, request.getResponseHeader("content-type") || "", request.responseText));
    request.onerror = () => done({ status: 0, words: "no connection to the page's program; try it again" });
    request.send(photograph);
  });
}

async function post(name, body) {
  try {
    const answer = await fetch(`/photo/${name}`, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) });
    return understood(answer.status, answer.headers.get("content-type") || "", await answer.text());
  } catch {
    return { status: 0, words: "no connection to the page's program; try it again" };
  }
}

function understood(status, type, text) {
  return type.startsWith("application/json") ? { ...JSON.parse(text), status } : { status, words: text.trim() };
}

async function work(words, act) { // says what is being done, and for how long
  const line = one("#photo-busy"), bar = one("progress", line), mine = ++count, begun = Date.now();
  const told = (share, other) => {
    if (other) words = other;
    if (share === null || share === undefined) bar.removeAttribute("value"); else bar.value = share;
    one("span", line).textContent = `${words}, ${Math.round((Date.now() - begun) / 1000)} s`;
  };
  say("");
  line.hidden = false;
  told();
  const clock = setInterval(() => told(bar.hasAttribute("value") ? bar.value : null), 1000);
  const answer = await act(told);
  clearInterval(clock);
  if (mine === count) line.hidden = true;
  if (answer.words) say(answer.words);
  return answer;
}

function say(words) {
  const line = one("#photo-says");
  line.textContent = words;
  line.hidden = !words;
}

/* measuring, and showing what came of it */

const corrections = () => steps.reduce((hand, step) => ({
  ...hand, ...step, stretches: [...hand.stretches, ...(step.stretches ?? [])],
}), { stretches: [] });

async function measure() { // while one answer is on its way, only the latest corrections wait
  wanted = true;
  if (measuring) return;
  measuring = true;
  await queue;
  let why = "";
  while (wanted && id) {
    wanted = false;
    const told = {
      id, thickness: one("#photo-thickness").value, bar: one("#photo-bar").value, cross: one("#photo-cross").checked,
      corrections: corrections(),
    };
    const answer = await work(shown ? "Reading the edge anew" : "Measuring", () => post("read", told));
    const vain = answer.status !== 200 || (answer.refused && shown && !shown.refused);
    if (vain && steps.length) { // a correction that cannot be is not kept
      why = answer.refused || answer.words;
      steps.pop();
      wanted = answer.status === 200;
    } else if (answer.status === 200) draw(answer);
  }
  if (why) say(why);
  measuring = false;
}

function draw(answer) {
  shown = answer;
  const [x0, y0, x1, y1] = answer.box, [px, py, wide, tall] = answer.picture_mm, picture = one("#photo-picture");
  picture.setAttribute("viewBox", `${x0} ${-y1} ${x1 - x0} ${y1 - y0}`);
  let image = one("image", picture);
  if (image?.getAttribute("href") !== answer.picture) {
    image = document.createElementNS(SVG, "image");
    for (const [name, value] of Object.entries({ href: answer.picture, x: px, y: -(py + tall), width: wide, height: tall })) image.setAttribute(name, value);
  }
  const marks = document.createElementNS(SVG, "g"), own = document.createElementNS(SVG, "g");
  marks.innerHTML = answer.marks;
  own.id = "photo-own";
  picture.replaceChildren(image, marks, own);
  const fresh = one("#photo-see").hidden;
  one("#photo-see").hidden = false;
  if (fresh) one("#photo-see").scrollIntoView();
  one("#photo-lines").replaceChildren(...answer.lines.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
  if (answer.refused) say(answer.refused);
  one("#photo-take").disabled = Boolean(answer.refused);
  one("#photo-undo").disabled = !steps.length;
  arm("");
  ends();
}

async function take() {
  const answer = await work("Writing the trace", () => ask("/photo/take", { id, number: shown.number }).catch(() => ({ status: 0, words: "no connection; try it again" })));
  if (answer.status !== 200) return;
  id = "";
  box.close();
}

/* hands on the picture */

function arm(what) {
  mode = what;
  first = null;
  press = null;
  for (const button of all("[data-mode]", box)) button.setAttribute("aria-pressed", String(button.dataset.mode === what));
  one("#photo-hint").textContent = HOW[what] ?? "The round handles are the ends of the rail's edge: drag them along it.";
  one("#photo-picture").classList.toggle("armed", Boolean(what));
  if (shown) preview([]);
}

function zoom(step) {
  const picture = one("#photo-picture"), now = Number(picture.dataset.zoom || 1);
  const next = Math.min(4, Math.max(1, step > 0 ? 2 * now : now / 2));
  picture.dataset.zoom = next;
  picture.style.width = `${100 * next}%`;
  if (shown) ends();
}

const scale = () => 1 / one("#photo-picture").getScreenCTM().a; // mm of a CSS pixel

function ends() { // the handles, as large as a finger whatever the scale
  const own = one("#photo-own");
  own.replaceChildren();
  own.append(Object.assign(document.createElementNS(SVG, "path"), { id: "photo-stretch" }));
  if (!shown.rail || shown.refused) return;
  for (const [name, k, words] of [["begin", shown.rail[0], "Beginning"], ["end", shown.rail[1], "End"]]) {
    const handle = document.createElementNS(SVG, "g");
    handle.dataset.end = name;
    handle.dataset.at = k;
    for (const [key, value] of Object.entries({ tabindex: 0, role: "slider", "aria-label": `${words} of the rail's edge`, "aria-valuenow": k, "aria-valuemin": 0, "aria-valuemax": shown.ring.length - 1 })) handle.setAttribute(key, value);
    for (const [kind, px] of [["reach", REACH_PX], ["dot", DOT_PX]]) {
      const circle = document.createElementNS(SVG, "circle");
      circle.setAttribute("class", kind);
      circle.setAttribute("r", px * scale());
      handle.append(circle);
    }
    put(handle, k);
    own.append(handle);
  }
}

function put(handle, k) {
  const [u, v] = shown.ring[k];
  handle.dataset.at = k;
  handle.setAttribute("aria-valuenow", k);
  for (const circle of handle.children) { circle.setAttribute("cx", u); circle.setAttribute("cy", -v); }
}

function nearest(event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(one("#photo-picture").getScreenCTM().inverse());
  let best = 0, least = Infinity;
  shown.ring.forEach(([u, v], k) => {
    const far = (u - at.x) ** 2 + (v + at.y) ** 2;
    if (far < least) { least = far; best = k; }
  });
  return best;
}

function between(a, b) { // the shorter way round
  const n = shown.ring.length;
  let ahead = (b - a + n) % n;
  if (ahead > n - ahead) { a = b; ahead = n - ahead; }
  return Array.from({ length: ahead + 1 }, (_, k) => shown.ring[(a + k) % n]);
}

function preview(points) {
  one("#photo-stretch")?.setAttribute("d", points.map(([u, v], k) => `${k ? "L" : "M"}${u} ${-v}`).join("") + (points.length === 1 ? "h0" : ""));
}

function settled(a, b) {
  steps.push(mode === "straight" ? { straight: [a, b] } : { stretches: [{ first: a, last: b, keep: mode === "back" }] });
  arm("");
  measure();
}

function hands(picture) {
  picture.addEventListener("pointerdown", (event) => {
    if (!shown || event.button !== 0) return;
    const handle = mode ? null : event.target.closest("[data-end]");
    if (handle) held = handle;
    else if (mode) press = { k: nearest(event), x: event.clientX, y: event.clientY, moved: false };
    else return;
    picture.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  picture.addEventListener("touchstart", (event) => { // what a finger holds does not scroll the page
    if (shown && (mode || event.target.closest("[data-end]"))) event.preventDefault();
  }, { passive: false });
  picture.addEventListener("pointermove", (event) => {
    if (held) put(held, nearest(event));
    if (!press) return;
    press.moved ||= Math.hypot(event.clientX - press.x, event.clientY - press.y) > TAP_PX;
    if (press.moved) preview(between(press.k, nearest(event)));
  });
  picture.addEventListener("pointerup", (event) => {
    const handle = held, from = press;
    held = press = null;
    if (handle) {
      steps.push({ [handle.dataset.end]: Number(handle.dataset.at) });
      return void measure();
    }
    if (!from) return;
    if (from.moved) settled(from.k, nearest(event));
    else if (first !== null && first !== from.k) settled(first, from.k);
    else {
      first = from.k;
      preview([shown.ring[first]]);
      one("#photo-hint").textContent = "Now its other end.";
    }
  });
  picture.addEventListener("pointercancel", () => {
    if (held) ends();
    held = press = null;
  });
  let resting = 0;
  picture.addEventListener("keydown", (event) => {
    const handle = event.target.closest?.("[data-end]"), way = { ArrowLeft: 1, ArrowRight: -1 }[event.key];
    if (!handle || !way) return;
    event.preventDefault();
    const n = shown.ring.length, name = handle.dataset.end;
    put(handle, (Number(handle.dataset.at) + way * (event.shiftKey ? 10 : 1) + n) % n);
    clearTimeout(resting);
    resting = setTimeout(async () => {
      steps.push({ [name]: Number(handle.dataset.at) });
      await measure();
      one(`[data-end=${name}]`)?.focus();
    }, 500);
  });
}
