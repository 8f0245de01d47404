"use strict";
/* Moves the steering: from lock to lock, and with its axle where that is asked. Every place and word is given; between
   two places points go straight. It stands still for those who ask for less motion, while it is out of sight, and once a
   slider is taken hold of. Run once more for a steering that has changed, it ends the run before and goes on. */
(() => {
  const before = window.lastLinkage;
  before?.stop.abort();
  window.lastLinkage = null;
  const figure = document.getElementById("linkage");
  if (!figure) return;
  const stop = new AbortController(), on = { signal: stop.signal };
  const scene = JSON.parse(document.getElementById("linkage-data").textContent);
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  const SECONDS = 4; // one way through a stage
  const firsts = [];
  scene.stages.reduce((sum, stage) => { firsts.push(sum); return sum + stage.count; }, 0);
  let running = before ? before.running : !calm.matches, seen = false, stage = 0, way = 1, turned = false, last = 0, waiting = 0;
  let at = before && before.at < scene.stages[0].count ? before.at : scene.stages[0].straight;
  const make = (name, words = {}, ...inside) => {
    const svg = ["svg", "path", "title"].includes(name);
    const node = svg ? document.createElementNS("http://www.w3.org/2000/svg", name) : document.createElement(name);
    for (const [key, value] of Object.entries(words)) node.setAttribute(key, value);
    node.append(...inside);
    return node;
  };
  const views = scene.views.map((view) => {
    const paths = scene.lines.map(([kind, name]) =>
      view.leaves.includes(kind) ? null : make("path", { class: `m-${kind}`, "data-line": kind, "data-part": name }));
    const title = make("title", {}, view.name);
    const svg = make("svg", { class: "picture", viewBox: view.box.join(" "), role: "img" }, title, ...paths.filter(Boolean));
    return { ...view, paths, shown: make("div", {}, make("p", { class: "m-name" }, view.name), svg) };
  });
  const button = make("button", { type: "button", "data-linkage": "play" });
  const sliders = scene.stages.map(({ label, ends, count }, i) => {
    const slider = make("input", { type: "range", id: `linkage-at-${i}`, min: 0, max: count - 1, step: "any" });
    slider.addEventListener("input", () => { hold(false); stage = i; at = Number(slider.value); draw(); }, on);
    slider.addEventListener("keydown", (event) => { // by whole places, to the ends by Home and End
      const step = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, Home: -count, End: count }[event.key];
      if (!step) return;
      event.preventDefault();
      hold(false);
      stage = i;
      at = Math.max(0, Math.min(count - 1, Math.round(Number(slider.value)) + step));
      draw();
    }, on);
    return { slider, row: make("label", { for: slider.id, class: "m-slide" }, make("span", {}, `${label}: ${ends[0]} to ${ends[1]}`), slider) };
  });
  const list = make("dl", { class: "readings-off", "aria-live": "off" });
  const key = make("p", { class: "m-key" },
    "Thick: barrel, as long as the cylinder closed; thin beyond it: the rod that is out. Green: fittings; dashed, the straight way to where a hose is made fast. Grey: tyres from above, and bars to clear.");
  figure.querySelector(".moving").replaceChildren(
    make("div", { class: "buttons" }, button), ...sliders.map(({ row }) => row),
    make("div", { class: "m-views" }, ...views.map(({ shown }) => shown)), list, key);

  function hold(run) {
    running = run;
    button.textContent = run ? "Stop the motion" : "Start the motion";
    wait();
  }
  function wait() {
    cancelAnimationFrame(waiting);
    last = 0;
    if (running && seen) waiting = requestAnimationFrame(tick);
  }
  function point(i, frame, share) {
    const p = scene.points[i];
    if (p.length === 3) return p;
    const a = 3 * frame, b = Math.min(a + 3, p.length - 3);
    return [0, 1, 2].map((k) => p[a + k] + share * (p[b + k] - p[a + k]));
  }
  function draw() {
    const { count, names, words } = scene.stages[stage];
    const low = Math.min(Math.floor(at), count - 1), share = low === count - 1 ? 0 : at - low;
    const now = scene.points.map((_, i) => point(i, firsts[stage] + low, share));
    for (const { axes, paths } of views) {
      const flat = (i) => axes.map((axis) => (Math.sign(axis) * now[i][Math.abs(axis) - 1]).toFixed(1)).join(" ");
      scene.lines.forEach(([kind, , ...ends], i) => {
        paths[i]?.setAttribute("d", `M${ends.map(flat).join("L")}${kind === "tyre" ? "Z" : ""}`);
      });
    }
    sliders.forEach(({ slider }, i) => {
      slider.value = i === stage ? at : scene.stages[i].straight;
      slider.setAttribute("aria-valuetext", scene.stages[i].words[Math.round(i === stage ? at : scene.stages[i].straight)][0]);
    });
    const row = words[Math.round(at)];
    if (list.children.length !== names.length || list.dataset.stage !== String(stage)) {
      list.dataset.stage = stage;
      list.replaceChildren(...names.map((name) => make("div", {}, make("dt", {}, name), make("dd"))));
    }
    list.querySelectorAll("dd").forEach((cell, i) => { cell.textContent = row[i]; });
    figure.dataset.stage = stage;
    if (stage === 0) keep.at = at;
  }
  function tick(time) {
    const { count, straight } = scene.stages[stage];
    const by = last ? Math.min(time - last, 100) / 1000 * (count - 1) / SECONDS : 0;
    last = time;
    const was = at;
    at += way * by;
    if (at >= count - 1) { at = count - 1; way = -1; turned = true; }
    else if (at <= 0) { at = 0; way = 1; }
    else if (turned && way > 0 && was <= straight && at > straight) { // once to and fro: the next way of moving
      turned = false;
      stage = (stage + 1) % scene.stages.length;
      at = scene.stages[stage].straight;
    }
    draw();
    waiting = requestAnimationFrame(tick);
  }
  const keep = { stop, at, get running() { return running; } };
  window.lastLinkage = keep;
  button.addEventListener("click", () => hold(!running), on);
  calm.addEventListener("change", () => { if (calm.matches) hold(false); }, on);
  figure.hidden = false;
  hold(running);
  draw();
  const watch = new IntersectionObserver(([{ isIntersecting }]) => {
    if (isIntersecting === seen) return;
    seen = isIntersecting;
    wait();
  });
  watch.observe(figure);
  stop.signal.addEventListener("abort", () => { watch.disconnect(); cancelAnimationFrame(waiting); });
})();
