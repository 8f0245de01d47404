"use strict";
/* Turns the bracket by hand: drag, wheel, two fingers, arrow keys or buttons; swings the cylinder, cuts it open, and
   names what is pointed at. Each point of the picture keeps the nearest face there, and how far off it is. Run once
   more for a bracket that has changed, it ends the run before and keeps its view. */
(() => {
  const before = window.lastTurntable;
  before?.end();
  window.lastTurntable = null;
  const figure = document.getElementById("turntable");
  if (!figure) return;
  const stop = new AbortController(), on = { signal: stop.signal };
  const scene = JSON.parse(document.getElementById("turntable-data").textContent);
  const canvas = figure.querySelector("canvas"), said = figure.querySelector("output");
  const START = { yaw: 0.5, tilt: -0.47, zoom: 1, x: 0, y: 0 }; // x, y: how far the middle is moved, in pixels
  const EDGE = Math.cos(0.4), FINE = 2, REST_MS = 150;
  let eye = before?.eye ?? { ...START }, named = before?.named ?? START; // the view by name that the frame was fitted to
  let cut = before?.cut ?? 0, swing = before?.swing ?? 0; // share of the bracket cut away; how far it swings, rad
  let size = 1, fine = 1, rest = 0, waiting = 0, lit = -1;
  const held = new Map(); // pointers that are down, by their number
  const faces = [], bodies = scene.bodies.map((body, b) => ({ ...body, of: body.faces.map((loops) => {
    const point = (i) => body.at.slice(3 * i, 3 * i + 3).map((x) => x / 10);
    return faces.push({ b, loops, share: share(body, loops[0][0]), n: normal(loops[0].map(point)) }) - 1;
  }) }));
  let owner = new Int32Array(0), deep = new Float32Array(0), wide = 0, high = 0;

  function normal(loop) { // Newell's sum over the edges: right for any flat outline, convex or not
    const n = [0, 0, 0];
    loop.forEach((p, i) => {
      const q = loop[(i + 1) % loop.length];
      n[0] += (p[1] - q[1]) * (p[2] + q[2]);
      n[1] += (p[2] - q[2]) * (p[0] + q[0]);
      n[2] += (p[0] - q[0]) * (p[1] + q[1]);
    });
    const long = Math.hypot(...n) || 1;
    return n.map((x) => x / long);
  }
  function turner() { // about v first, then about the screen's level axis; the eye looks along -z
    const c = Math.cos(eye.yaw), s = Math.sin(eye.yaw), d = Math.cos(eye.tilt), e = Math.sin(eye.tilt);
    return ([x, y, z]) => {
      const w = c * z - s * x;
      return [c * x + s * z, d * y - e * w, d * w + e * y];
    };
  }
  function share(body, i) { // how far a point goes with the cylinder: a hose with one end only, ring by ring
    if (!body.rings) return body.swings ? 1 : 0;
    return 1 - Math.floor(i * body.rings / (body.at.length / 3)) / (body.rings - 1);
  }
  function way([x, y, z], by) { // as the cylinder turns, from u towards v
    if (!by || !swing) return [x, y, z];
    const c = Math.cos(swing * by), s = Math.sin(swing * by);
    return [c * x - s * y, s * x + c * y, z];
  }
  function place([x, y, z], by) { // about the pin
    const [u, v] = scene.swing.about, [a, b] = way([x - u, y - v, z], by);
    return [a + u, b + v, z];
  }
  function raster() { // which face lies nearest at each point: its number and one, less than nothing where its back is seen
    const scale = eye.zoom * size * fine, turn = turner(), along = turn([0, 0, 1]);
    const level = scene.along[1] - cut * (scene.along[1] - scene.along[0]); // the side that one begins with is cut away
    owner.fill(0);
    deep.fill(-Infinity);
    for (const body of bodies) {
      const points = [];
      for (let i = 0; i < body.at.length; i += 3) {
        const p = place([body.at[i] / 10, body.at[i + 1] / 10, body.at[i + 2] / 10], share(body, i / 3));
        const [x, y, z] = turn(p.map((q, k) => q - scene.middle[k]));
        points.push([wide / 2 + eye.x * fine + x * scale, high / 2 + eye.y * fine - y * scale, z, p[2]]);
      }
      for (const f of body.of) {
        const [nx, ny, nz] = turn(way(faces[f].n, faces[f].share));
        if (nz < 1e-3 && !(cut && nz < -1e-3)) continue;
        const [x0, y0, z0, w0] = points[faces[f].loops[0][0]];
        const zx = -nx / (nz * scale), zy = ny / (nz * scale);
        const wx = along[0] / scale + along[2] * zx, wy = -along[1] / scale + along[2] * zy;
        fill(faces[f].loops, points, (x, y, at) => {
          const z = z0 + zx * (x - x0) + zy * (y - y0);
          if (z <= deep[at] || (cut && w0 + wx * (x - x0) + wy * (y - y0) > level)) return;
          deep[at] = z;
          owner[at] = nz > 0 ? f + 1 : -f - 1;
        });
      }
    }
  }
  function fill(loops, points, put) { // row by row, between every second crossing of the edges
    let top = Infinity, bottom = -Infinity;
    for (const i of loops[0]) { top = Math.min(top, points[i][1]); bottom = Math.max(bottom, points[i][1]); }
    for (let row = Math.max(0, Math.ceil(top - 0.5)); row <= Math.min(high - 1, bottom - 0.5); row++) {
      const y = row + 0.5, crossings = [];
      for (const loop of loops) for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
        const [ax, ay] = points[loop[j]], [bx, by] = points[loop[i]];
        if ((ay <= y) !== (by <= y)) crossings.push(ax + (y - ay) / (by - ay) * (bx - ax));
      }
      crossings.sort((a, b) => a - b);
      for (let i = 0; i + 1 < crossings.length; i += 2) {
        const last = Math.min(wide - 1, crossings[i + 1] - 0.5);
        for (let x = Math.max(0, Math.ceil(crossings[i] - 0.5)); x <= last; x++) put(x + 0.5, y, row * wide + x);
      }
    }
  }
  function colours() {
    const pen = document.createElement("canvas").getContext("2d"), style = getComputedStyle(figure);
    const read = (name) => {
      pen.fillStyle = style.getPropertyValue(name).trim();
      return [1, 3, 5].map((i) => parseInt(pen.fillStyle.slice(i, i + 2), 16));
    };
    const tint = { steel: "--steel", rail: "--faint", pin: "--datum", cylinder: "--wash", bead: "--weld", bolt: "--soft", "on-rail": "--rail", hose: "--good" };
    return { ink: read("--ink"), stops: read("--doubt"), lit: read("--datum"), of: Object.fromEntries(Object.entries(tint).map(([k, v]) => [k, read(v)])) };
  }
  function shade() {
    const image = new ImageData(wide, high), data = image.data, paint = colours(), turn = turner();
    const looks = faces.map(({ b, n, share: by }) => {
      const body = bodies[b], [, , nz] = turn(way(n, by));
      const base = body.stops ? paint.stops : b === lit ? paint.lit : paint.of[body.kind];
      return { n, b, lit: base.map((x) => x * (0.62 + 0.38 * Math.abs(nz))), base };
    });
    const apart = (one, other) => {
      if (one === other) return false;
      if (!one || !other || (one < 0) !== (other < 0)) return true;
      const p = looks[Math.abs(one) - 1], q = looks[Math.abs(other) - 1];
      return p.b !== q.b || (one > 0 && p.n[0] * q.n[0] + p.n[1] * q.n[1] + p.n[2] * q.n[2] < EDGE);
    };
    for (let row = 0, at = 0; row < high; row++) for (let x = 0; x < wide; x++, at++) {
      const own = owner[at], right = x + 1 < wide ? owner[at + 1] : own, under = row + 1 < high ? owner[at + wide] : own;
      if (!own && !right && !under) continue;
      let tone = own ? looks[Math.abs(own) - 1].lit : null;
      if (own < 0) tone = looks[-own - 1].base.map((v) => ((x + row) >> 2) % 3 ? v : v * 0.55); // cut through: hatched
      if (apart(own, right) || apart(own, under)) tone = paint.ink;
      if (tone) data.set([tone[0], tone[1], tone[2], 255], 4 * at);
    }
    return image;
  }
  function draw() {
    waiting = 0;
    if (!canvas.clientWidth) return;
    wide = Math.round(canvas.clientWidth * fine);
    high = Math.round(canvas.clientHeight * fine);
    if (canvas.width !== wide || canvas.height !== high) { canvas.width = wide; canvas.height = high; }
    if (owner.length !== wide * high) { owner = new Int32Array(wide * high); deep = new Float32Array(wide * high); }
    raster();
    canvas.getContext("2d").putImageData(shade(), 0, 0);
  }
  function show(sharp = false) { // coarse while it moves, sharp once it rests
    fine = sharp ? FINE : 1;
    if (!waiting) waiting = requestAnimationFrame(draw);
    clearTimeout(rest);
    if (!sharp) rest = setTimeout(() => show(true), REST_MS);
  }
  function fit() { // the named view fills the frame
    const now = eye;
    eye = named;
    const turn = turner(), far = [0, 0];
    for (const { at } of bodies) for (let i = 0; i < at.length; i += 3) {
      const p = turn([0, 1, 2].map((k) => at[i + k] / 10 - scene.middle[k]));
      for (const k of [0, 1]) far[k] = Math.max(far[k], Math.abs(p[k]) * 2);
    }
    eye = now;
    size = 0.92 * Math.min(canvas.clientWidth / (far[0] || 1), canvas.clientHeight / (far[1] || 1));
  }
  function move(yaw, tilt, zoom) {
    eye.yaw += yaw;
    eye.tilt = Math.max(-1.57, Math.min(1.57, eye.tilt + tilt));
    eye.zoom = Math.max(0.5, Math.min(8, eye.zoom * zoom));
    show();
  }
  function pan(x, y) {
    eye.x += x;
    eye.y += y;
    show();
  }
  function pick({ clientX, clientY }) { // names what lies there, and lights it
    const box = canvas.getBoundingClientRect();
    const x = Math.floor((clientX - box.left) * fine), y = Math.floor((clientY - box.top) * fine);
    const own = x >= 0 && y >= 0 && x < wide && y < high ? owner[y * wide + x] : 0;
    point(own ? faces[Math.abs(own) - 1].b : -1);
  }
  function point(b) {
    if (b === lit) return;
    lit = b;
    called.textContent = b < 0 ? "Point at a part, and its name stands here." : bodies[b].name + (bodies[b].stops ? ": STOP" : "");
    show(true);
  }

  /* its own controls: the same on sheet and page */
  const make = (name, words, ...inside) => {
    const node = Object.assign(document.createElement(name), words);
    node.append(...inside);
    return node;
  };
  const called = make("p", { className: "turn-name", textContent: "Point at a part, and its name stands here." });
  called.setAttribute("role", "status");
  function slider(label, low, least, most, words, take) {
    const range = make("input", { type: "range", min: least, max: most, step: (most - least) / 60 || 1 });
    range.value = low;
    range.setAttribute("aria-valuetext", words(low));
    range.addEventListener("input", () => {
      take(Number(range.value));
      range.setAttribute("aria-valuetext", words(Number(range.value)));
      show();
    }, on);
    return make("label", { className: "m-slide" }, make("span", { textContent: label }), range);
  }
  const degrees = (x) => `${(x * 180 / Math.PI).toFixed(1)} degrees`;
  const rows = [slider("Cut away along the pin", cut, 0, 0.95, (x) => x ? `${Math.round(100 * x)} % cut away` : "nothing cut away", (x) => { cut = x; })];
  const { from, to } = scene.swing;
  swing = Math.max(from, Math.min(to, swing));
  if (to > from) rows.push(slider("Swing of the cylinder", swing, from, to, degrees, (x) => { swing = x; }));
  figure.querySelector(".turn-more")?.remove();
  canvas.after(make("div", { className: "turn-more" }, called, ...rows));

  const views = {
    start: {}, side: { yaw: 0, tilt: 0 }, end: { yaw: -Math.PI / 2, tilt: 0 }, below: { yaw: 0, tilt: -1.57 },
  };
  const keys = {
    ArrowLeft: [-0.15, 0, 1], ArrowRight: [0.15, 0, 1], ArrowUp: [0, -0.15, 1], ArrowDown: [0, 0.15, 1],
    "+": [0, 0, 1.2], "=": [0, 0, 1.2], "-": [0, 0, 1 / 1.2],
  };
  canvas.addEventListener("keydown", (event) => {
    if (event.key === "n" || event.key === "N") { // parts one by one, for those who do not point
      event.preventDefault();
      return point((lit + (event.key === "n" ? 1 : bodies.length)) % bodies.length);
    }
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
  canvas.addEventListener("pointerdown", (event) => {
    held.set(event.pointerId, [event.clientX, event.clientY]);
    canvas.setPointerCapture(event.pointerId);
    if (event.pointerType !== "mouse") pick(event);
  }, on);
  canvas.addEventListener("pointermove", (event) => {
    const last = held.get(event.pointerId), now = [event.clientX, event.clientY];
    if (!last) return pick(event);
    const [x, y] = [now[0] - last[0], now[1] - last[1]], other = [...held].find(([id]) => id !== event.pointerId)?.[1];
    held.set(event.pointerId, now);
    if (other) { // two fingers: nearer as they part, along as they go together
      move(0, 0, Math.hypot(now[0] - other[0], now[1] - other[1]) / (Math.hypot(last[0] - other[0], last[1] - other[1]) || 1));
      pan(x / 2, y / 2);
    } else if (event.shiftKey || event.buttons & 6) pan(x, y);
    else move(x * 0.01, y * 0.01, 1);
  }, on);
  canvas.addEventListener("pointerleave", () => { if (!held.size) point(-1); }, on);
  for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, (event) => held.delete(event.pointerId), on);
  for (const button of figure.querySelectorAll("[data-turn]"))
    button.addEventListener("click", () => {
      const by = button.dataset.turn;
      if (!views[by]) return move(0, 0, by === "nearer" ? 1.25 : 0.8);
      eye = { ...START, ...views[by] };
      named = { ...eye };
      fit();
      show();
      said.textContent = button.textContent.trim();
    }, on);
  figure.hidden = false;
  const watch = new ResizeObserver(() => { fit(); show(true); });
  watch.observe(canvas);
  window.lastTurntable = {
    get eye() { return eye; }, get named() { return named; }, get cut() { return cut; }, get swing() { return swing; },
    end() { stop.abort(); watch.disconnect(); clearTimeout(rest); cancelAnimationFrame(waiting); },
  };
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => show(true), on);
  fit();
  if (before) show(); // it comes with every change: sharp once they rest
  else { fine = FINE; draw(); }
})();
