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
    const svg = ["svg", "g", "path", "circle", "text", "title"].includes(name);
    const node = svg ? document.createElementNS("http://www.w3.org/2000/svg", name) : document.createElement(name);
    for (const [key, value] of Object.entries(words)) node.setAttribute(key, value);
    node.append(...inside);
    return node;
  };
  const views = scene.views.map((view) => {
    const [, , width, height] = view.box, size = Math.max(width, height) / 22; // of letters
    const shapes = scene.lines.map(([kind, name]) => kind === "gap"
      ? make("g", { class: "m-gap", "data-line": kind, "data-part": name },
        make("path"), make("circle", { r: size / 2 }), make("text", { "font-size": size }))
      : make("path", { class: `m-${kind}`, "data-line": kind, "data-part": name }));
    const title = make("title", {}, view.name);
    const svg = make("svg", { class: "picture", viewBox: view.box.join(" "), role: "img" }, title, ...shapes);
    return { ...view, size, shapes, shown: make("div", {}, make("p", { class: "m-name" }, view.name), svg) };
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
    "Thick: barrel, as long as the cylinder closed; thin beyond it: the rod that is out. Green: fittings; dashed, the straight way to where a hose is made fast. Grey: tyres, and bars to clear."
    + (scene.stages.some(({ marks }) => marks.length) ? " Ringed: where a tyre, and where a fitting, comes nearest to what passes it, undeflected, and how near." : ""));
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
  const join = (p) => p.map((x) => x.toFixed(1)).join(" ");
  function tyre([frontLeft, frontRight, backRight, backLeft, left, right], axes) {
    if (!axes.includes(3) && !axes.includes(-3)) return `M${[frontLeft, frontRight, backRight, backLeft].map(join).join("L")}Z`;
    const side = (front, back, top) => { // a circle seen aslant, by two of its radii
      const middle = front.map((x, k) => (x + back[k]) / 2);
      const rim = Array.from({ length: 48 }, (_, n) => middle.map((x, k) =>
        x + (front[k] - x) * Math.cos(n * Math.PI / 24) + (top[k] - x) * Math.sin(n * Math.PI / 24)));
      return `M${rim.map(join).join("L")}Z`;
    };
    return side(frontLeft, backLeft, left) + side(frontRight, backRight, right);
  }
  function mark(shape, [one, other], words, [left, , width], size, taken) {
    shape.style.display = words ? "" : "none";
    if (!words) return;
    const [path, ring, text] = shape.children, [x, y] = one.map((v, k) => (v + other[k]) / 2);
    path.setAttribute("d", `M${join(one)}L${join(other)}`);
    ring.setAttribute("cx", x);
    ring.setAttribute("cy", y);
    const ends = x > left + width / 2; // words stand on the side where there is room
    const near = taken.find(([u, v]) => Math.abs(u - x) < 9 * size && Math.abs(v - y) < 1.3 * size);
    const line = near ? near[1] + (y < near[1] ? -1.3 : 1.3) * size : y; // words of another mark stand there
    taken.push([x, line]);
    text.setAttribute("x", x + (ends ? -0.7 : 0.7) * size);
    text.setAttribute("y", line - 0.5 * size);
    text.setAttribute("text-anchor", ends ? "end" : "start");
    text.textContent = words;
  }
  function draw() {
    const { count, names, words, marks } = scene.stages[stage];
    const low = Math.min(Math.floor(at), count - 1), share = low === count - 1 ? 0 : at - low;
    const now = scene.points.map((_, i) => point(i, firsts[stage] + low, share));
    const frame = Math.round(at), row = [...words[frame]];
    const marked = new Map(marks.map(([reading, lines]) => [lines[frame], row[reading]]));
    for (const { axes, box, size, shapes } of views) {
      const flat = (i) => axes.map((axis) => Math.sign(axis) * now[i][Math.abs(axis) - 1]), taken = [];
      scene.lines.forEach(([kind, , ...ends], i) => {
        const points = ends.map(flat);
        if (kind === "gap") mark(shapes[i], points, marked.get(i), box, size, taken);
        else shapes[i].setAttribute("d", kind === "tyre" ? tyre(points, axes) : `M${points.map(join).join("L")}`);
      });
    }
    sliders.forEach(({ slider }, i) => {
      slider.value = i === stage ? at : scene.stages[i].straight;
      slider.setAttribute("aria-valuetext", scene.stages[i].words[Math.round(i === stage ? at : scene.stages[i].straight)][0]);
    });
    for (const [reading, lines] of marks) row[reading] += `: ${scene.lines[lines[frame]][1]}`;
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
