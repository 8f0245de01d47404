"use strict";
/* Turns the bracket by hand: drag, wheel, two fingers, arrow keys or buttons. Far bodies are drawn first, faces turned
   away are left out. Run once more for a bracket that has changed, it ends the run before and keeps its view. */
(() => {
  const before = window.lastTurntable;
  before?.stop.abort();
  window.lastTurntable = null;
  const figure = document.getElementById("turntable");
  if (!figure) return;
  const stop = new AbortController(), on = { signal: stop.signal };
  const scene = JSON.parse(document.getElementById("turntable-data").textContent);
  const canvas = figure.querySelector("canvas"), said = figure.querySelector("output");
  const start = { yaw: 0.5, tilt: -0.47, zoom: 1, x: 0, y: 0 }; // x, y: how far the middle is moved, in pixels
  let eye = before?.eye ?? { ...start }, named = before?.named ?? start; // the view by name that the frame was fitted to
  let size = 1; // how many pixels a millimetre takes at zoom 1
  window.lastTurntable = { stop, get eye() { return eye; }, get named() { return named; } };
  for (const body of scene.bodies)
    for (const face of body.faces) face.normal = normal(face.loops[0]);

  function normal(loop) { // Newell's sum over the edges: right for any flat outline, convex or not
    const n = [0, 0, 0];
    loop.forEach((p, i) => {
      const q = loop[(i + 1) % loop.length];
      n[0] += (p[1] - q[1]) * (p[2] + q[2]);
      n[1] += (p[2] - q[2]) * (p[0] + q[0]);
      n[2] += (p[0] - q[0]) * (p[1] + q[1]);
    });
    const size = Math.hypot(...n) || 1;
    return n.map((x) => x / size);
  }
  function turn([x, y, z]) { // about v first, then about the screen's level axis; the eye looks along -z
    const c = Math.cos(eye.yaw), s = Math.sin(eye.yaw), d = Math.cos(eye.tilt), e = Math.sin(eye.tilt);
    const u = c * x + s * z, w = c * z - s * x;
    return [u, d * y - e * w, d * w + e * y];
  }
  function colour(name) { return getComputedStyle(figure).getPropertyValue(name).trim(); }
  function order(bodies) { // a body is drawn once nothing that lies behind it is left
    const across = turn([0, 0, 1])[2], up = turn([0, 1, 0])[2];
    const behind = (a, b) => {
      if (a.kind === "rail") return up < 0;
      if (b.kind === "rail") return up >= 0;
      return a.to <= b.from + 0.06 ? across > 0 : b.to <= a.from + 0.06 ? across < 0 : false;
    };
    const left = [...bodies], sorted = [];
    while (left.length) {
      const i = left.findIndex((a) => !left.some((b) => b !== a && behind(b, a)));
      sorted.push(...left.splice(Math.max(i, 0), 1));
    }
    return sorted;
  }
  function draw() {
    const ratio = window.devicePixelRatio || 1, wide = canvas.clientWidth, high = canvas.clientHeight;
    if (!wide) return;
    canvas.width = wide * ratio;
    canvas.height = high * ratio;
    const pen = canvas.getContext("2d");
    pen.setTransform(ratio, 0, 0, ratio, (wide / 2 + eye.x) * ratio, (high / 2 + eye.y) * ratio);
    const scale = eye.zoom * size;
    const tint = { steel: "--steel", rail: "--faint", pin: "--datum", cylinder: "--wash" };
    const ink = colour("--ink"), soft = colour("--soft");
    for (const body of order(scene.bodies)) {
      const seen = body.faces
        .map((face) => ({ face, n: turn(face.normal) }))
        .filter(({ n }) => n[2] > 1e-6)
        .map((f) => ({ ...f, deep: depth(f.face.loops[0]) }))
        .sort((a, b) => b.face.in - a.face.in || (body.kind === "rail" ? a.deep - b.deep : a.face.lid - b.face.lid));
      for (const { face, n } of seen) {
        pen.beginPath();
        for (const loop of face.loops) {
          loop.forEach((p, i) => {
            const [x, y] = turn(p.map((v, k) => v - scene.middle[k]));
            if (i) pen.lineTo(x * scale, -y * scale); else pen.moveTo(x * scale, -y * scale);
          });
          pen.closePath();
        }
        const base = colour(tint[body.kind]);
        pen.fillStyle = base;
        pen.fill("evenodd");
        pen.fillStyle = `rgba(0, 0, 0, ${(0.34 * (1 - n[2])).toFixed(3)})`;
        pen.fill("evenodd");
        if (face.lid || body.kind === "rail") {
          pen.lineWidth = face.lid ? 1.3 : 0.4;
          pen.strokeStyle = face.lid ? ink : soft;
          pen.stroke();
        } else { // close the hairline between two walls
          pen.lineWidth = 0.7;
          pen.strokeStyle = base;
          pen.stroke();
        }
      }
    }
  }
  function fit() { // the named view fills the frame
    const now = eye;
    eye = named;
    const seen = scene.bodies.flatMap((b) => b.faces.flatMap((f) => f.loops.flat()))
      .map((p) => turn(p.map((v, k) => v - scene.middle[k])));
    const far = (k) => Math.max(...seen.map((p) => Math.abs(p[k]))) * 2 || 1;
    eye = now;
    size = 0.92 * Math.min(canvas.clientWidth / far(0), canvas.clientHeight / far(1));
  }
  function depth(loop) { return loop.reduce((sum, p) => sum + turn(p)[2], 0) / loop.length; }
  function move(yaw, tilt, zoom) {
    eye.yaw += yaw;
    eye.tilt = Math.max(-1.57, Math.min(1.57, eye.tilt + tilt));
    eye.zoom = Math.max(0.5, Math.min(6, eye.zoom * zoom));
    draw();
  }
  function pan(x, y) {
    eye.x += x;
    eye.y += y;
    draw();
  }
  const views = {
    start: () => ({ ...start }),
    side: () => ({ ...start, yaw: 0, tilt: 0 }),
    end: () => ({ ...start, yaw: -Math.PI / 2, tilt: 0 }),
    below: () => ({ ...start, yaw: 0, tilt: -1.57 }),
  };
  const keys = {
    ArrowLeft: [-0.15, 0, 1], ArrowRight: [0.15, 0, 1], ArrowUp: [0, -0.15, 1], ArrowDown: [0, 0.15, 1],
    "+": [0, 0, 1.2], "=": [0, 0, 1.2], "-": [0, 0, 1 / 1.2],
  };
  canvas.addEventListener("keydown", (event) => {
    const way = keys[event.key];
    if (!way) return;
    event.preventDefault();
    if (event.shiftKey && way[2] === 1) pan(200 * way[0], 200 * way[1]);
    else move(...way);
  }, on);
  canvas.addEventListener("wheel", (event) => {
    event.preventDefault();
    move(0, 0, Math.exp(-0.0015 * event.deltaY));
  }, { ...on, passive: false });
  canvas.addEventListener("contextmenu", (event) => event.preventDefault(), on);
  const held = new Map(); // pointers that are down, by their number
  canvas.addEventListener("pointerdown", (event) => {
    held.set(event.pointerId, [event.clientX, event.clientY]);
    canvas.setPointerCapture(event.pointerId);
  }, on);
  canvas.addEventListener("pointermove", (event) => {
    const last = held.get(event.pointerId), now = [event.clientX, event.clientY];
    if (!last) return;
    const [x, y] = [now[0] - last[0], now[1] - last[1]], other = [...held].find(([id]) => id !== event.pointerId)?.[1];
    held.set(event.pointerId, now);
    if (other) { // two fingers: nearer as they part, along as they go together
      move(0, 0, Math.hypot(now[0] - other[0], now[1] - other[1]) / (Math.hypot(last[0] - other[0], last[1] - other[1]) || 1));
      pan(x / 2, y / 2);
    } else if (event.shiftKey || event.buttons & 6) pan(x, y);
    else move(x * 0.01, y * 0.01, 1);
  }, on);
  for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, (event) => held.delete(event.pointerId), on);
  for (const button of figure.querySelectorAll("button"))
    button.addEventListener("click", () => {
      const by = button.dataset.turn;
      if (views[by]) { eye = views[by](); named = { ...eye }; fit(); draw(); said.textContent = button.textContent.trim(); }
      else move(0, 0, by === "nearer" ? 1.25 : 0.8);
    }, on);
  figure.hidden = false;
  const watch = new ResizeObserver(() => { fit(); draw(); });
  watch.observe(canvas);
  stop.signal.addEventListener("abort", () => watch.disconnect());
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw, on);
  fit();
  draw();
})();
