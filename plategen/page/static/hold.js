/* Takes hold of what the drawing lets go: the pin, the foot's ends, a reading. A finger need not hit it, only be near.
   The drawing follows from the server; while one answer is on its way, only the latest place waits to be sent. */
const NEAR_PX = 34;

export function holdDrawing(board, ask) {
  let held = null, count = 0;

  function scale(svg) {
    return { matrix: svg.getScreenCTM(), back: svg.getScreenCTM().inverse() };
  }
  function nearest(x, y) {
    const svg = board.querySelector("svg.live");
    if (!svg) return null;
    const { matrix } = scale(svg);
    let best = null;
    for (const mark of svg.querySelectorAll("[data-hold]")) {
      const at = new DOMPoint(Number(mark.dataset.u), -Number(mark.dataset.v)).matrixTransform(matrix);
      const bias = mark.dataset.hold === "reading" ? 6 : 0; // the pin and the foot go first where marks crowd
      const far = Math.hypot(at.x - x, at.y - y) + bias;
      if (far < NEAR_PX && (!best || far < best.far)) best = { mark, far };
    }
    return best && { svg, ...best.mark.dataset };
  }
  function edit(what, u, v) {
    const whole = { do: "drag", what: what.hold, u, v };
    return what.hold === "reading" ? { ...whole, file: what.file, line: Number(what.line) } : whole;
  }
  async function follow(what) {
    if (what.busy) return;
    what.busy = true;
    while (what.next) {
      const [u, v] = what.next;
      what.next = null;
      await ask("/change", { edits: [edit(what, u, v)], gesture: what.gesture }).catch(() => {});
    }
    what.busy = false;
    if (held !== what) settle();
  }
  function settle() { // let the drawing find its own size again
    if (held) return;
    document.body.classList.remove("holding");
    board.dataset.mark = "";
    ask("/state");
  }

  board.addEventListener("touchstart", (event) => {
    const touch = event.changedTouches[0];
    if (nearest(touch.clientX, touch.clientY)) event.preventDefault();
  }, { passive: false });
  board.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    const what = nearest(event.clientX, event.clientY);
    if (!what) return;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(scale(what.svg).back);
    held = { ...what, ...scale(what.svg), from: at, gesture: `drag ${Date.now()} ${count++}`, next: null, moved: false };
    board.setPointerCapture(event.pointerId);
    document.body.classList.add("holding");
    event.preventDefault();
  });
  board.addEventListener("pointermove", (event) => {
    if (!held) {
      board.classList.toggle("near", event.pointerType === "mouse" && Boolean(nearest(event.clientX, event.clientY)));
      return;
    }
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(held.back);
    held.next = [Number(held.u) + at.x - held.from.x, Number(held.v) - (at.y - held.from.y)];
    held.moved = true;
    follow(held);
  });
  for (const end of ["pointerup", "pointercancel"]) board.addEventListener(end, () => {
    const what = held;
    held = null;
    if (what && !what.busy) settle();
  });

  const keys = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  let lastKey = 0;
  board.addEventListener("keydown", (event) => {
    const mark = event.target.closest("[data-hold]"), way = keys[event.key];
    if (!mark || !way) return;
    event.preventDefault();
    if (Date.now() - lastKey > 1200) count++;
    lastKey = Date.now();
    const step = (document.body.dataset.units === "in" ? 25.4 / 32 : 0.5) * (event.shiftKey ? 8 : 1);
    const u = Number(mark.dataset.u) + way[0] * step, v = Number(mark.dataset.v) + way[1] * step;
    mark.dataset.u = u;
    mark.dataset.v = v;
    ask("/change", { edits: [edit(mark.dataset, u, v)], gesture: `keys ${count}` });
  });
}
