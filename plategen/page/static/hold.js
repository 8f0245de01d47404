/* Takes hold of what the drawing lets go: the pin, the foot's ends, what slides, a reading. A finger need not hit it,
   only be near. The drawing follows from the server; while one answer is on its way, only the latest place waits. */
import { tellBeside } from "./beside.js";

const NEAR_PX = 34, DEAD_PX = 4, REST_MS = 300;
const MEASURED = /^(reading|feature|gap)/;

export function holdDrawing(board, ask, unlock, told) {
  let held = null, count = 0;
  const beside = tellBeside(told);
  const locked = ({ hold }) => MEASURED.test(hold) && unlock.getAttribute("aria-pressed") !== "true"; // not by mistake

  function scale(svg) {
    return { matrix: svg.getScreenCTM(), back: svg.getScreenCTM().inverse() };
  }
  function nearest(x, y) {
    const svg = board.querySelector("svg.live");
    if (!svg) return null;
    const { matrix } = scale(svg);
    let best = null;
    for (const mark of svg.querySelectorAll("[data-hold]")) {
      if (locked(mark.dataset)) continue;
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
  function marked({ hold, file, line }) { // what is held, in the drawing as it is by now
    return [...board.querySelectorAll(`[data-hold="${hold}"]`)].find((m) => m.dataset.file === file && m.dataset.line === line);
  }
  function tell() {
    if (held) beside.at(marked(held), held.nowX, held.nowY, held.finger);
  }
  async function follow(what) {
    if (what.busy) return;
    what.busy = true;
    while (what.next) {
      const [u, v] = what.next;
      what.next = null;
      await ask("/change", { edits: [edit(what, u, v)], gesture: what.gesture }).catch(() => {});
      tell();
    }
    what.busy = false;
    if (held !== what) settle();
  }
  function settle() { // let the drawing find its own size again
    if (held) return;
    beside.away();
    document.body.classList.remove("holding");
    board.dataset.mark = "";
    ask("/state");
  }

  function begin(event, what, finger = false) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(scale(what.svg).back);
    held = {
      ...what, ...scale(what.svg), from: at, x: event.clientX, y: event.clientY,
      gesture: `drag ${Date.now()} ${count++}`, next: null, moved: false,
      nowX: event.clientX, nowY: event.clientY, finger,
    };
    tell();
    document.body.classList.add("holding");
  }
  function drag(event) {
    if (!held.moved && Math.hypot(event.clientX - held.x, event.clientY - held.y) < DEAD_PX) return; // a hand that trembles
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(held.back);
    [held.nowX, held.nowY] = [event.clientX, event.clientY];
    tell();
    held.next = [Number(held.u) + at.x - held.from.x, Number(held.v) - (at.y - held.from.y)];
    held.moved = true;
    follow(held);
  }
  function release() {
    const what = held;
    held = null;
    if (what && !what.busy) settle();
  }
  async function cancel() { // as it was before the hand took hold
    const what = held;
    held = null;
    if (!what) return;
    what.next = null;
    if (what.moved) await ask("/undo", { gesture: what.gesture }).catch(() => {});
    settle();
  }
  document.addEventListener("keydown", (event) => { if (event.key === "Escape" && held) { event.preventDefault(); cancel(); } });

  board.addEventListener("pointerdown", (event) => { // a mouse or a pen takes hold at once
    if (event.button !== 0 || event.pointerType === "touch") return;
    const what = nearest(event.clientX, event.clientY);
    if (!what) return;
    begin(event, what);
    board.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  board.addEventListener("pointermove", (event) => {
    if (event.pointerType === "touch") return;
    if (held) return drag(event);
    const what = nearest(event.clientX, event.clientY);
    board.classList.toggle("near", Boolean(what));
    if (what) beside.at(marked(what), event.clientX, event.clientY); else beside.away();
  });
  board.addEventListener("pointerleave", () => { if (!held) beside.away(); });
  board.addEventListener("pointerup", (event) => { if (event.pointerType !== "touch") release(); });
  board.addEventListener("pointercancel", (event) => { if (event.pointerType !== "touch") cancel(); });

  // a finger takes hold once it has rested; one that moves on at once scrolls the page
  let resting = 0, down = null;
  board.addEventListener("touchstart", (event) => {
    const touch = event.changedTouches[0], what = nearest(touch.clientX, touch.clientY);
    clearTimeout(resting);
    if (held || event.touches.length > 1) return void cancel();
    down = touch;
    if (what) resting = setTimeout(() => { begin(down, what, true); navigator.vibrate?.(20); }, REST_MS);
  }, { passive: true });
  board.addEventListener("touchmove", (event) => {
    const touch = event.changedTouches[0];
    if (held) { event.preventDefault(); drag(touch); }
    else if (!down || Math.hypot(touch.clientX - down.clientX, touch.clientY - down.clientY) > 2 * DEAD_PX) clearTimeout(resting);
  }, { passive: false });
  board.addEventListener("touchend", () => { clearTimeout(resting); release(); });
  board.addEventListener("touchcancel", () => { clearTimeout(resting); cancel(); });
  board.addEventListener("contextmenu", (event) => { if (held) event.preventDefault(); });

  unlock.addEventListener("click", () => {
    unlock.setAttribute("aria-pressed", String(unlock.getAttribute("aria-pressed") !== "true"));
  });

  const keys = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  let lastKey = 0, typed = "";
  function towards({ way }, [u, v]) { // what slides up and down follows the level arrows too
    if (!way) return [u, v];
    const [x, y] = way.split(" ").map(Number), along = u * x + v * y || u + v;
    return [x * along, y * along];
  }
  board.addEventListener("keydown", async (event) => {
    const mark = event.target.closest("[data-hold]"), way = keys[event.key];
    if (mark && event.key === "Escape" && typed && !held) { // as it was before these arrows
      const gesture = typed;
      typed = "";
      await ask("/undo", { gesture }).catch(() => {});
      return;
    }
    if (!mark || !way) return;
    event.preventDefault();
    if (locked(mark.dataset)) return beside.under(mark, `Locked: press “${unlock.textContent.trim()}” first`);
    if (Date.now() - lastKey > 1200) count++;
    lastKey = Date.now();
    typed = `keys ${count}`;
    const step = (document.body.dataset.units === "in" ? 25.4 / 32 : 0.5) * (event.shiftKey ? 8 : 1);
    const [x, y] = towards(mark.dataset, way);
    const u = Number(mark.dataset.u) + x * step, v = Number(mark.dataset.v) + y * step;
    mark.dataset.u = u;
    mark.dataset.v = v;
    await ask("/change", { edits: [edit(mark.dataset, u, v)], gesture: typed }).catch(() => {});
    if (mark.isConnected && mark.contains(document.activeElement)) beside.under(mark);
  });
  board.addEventListener("focusin", (event) => {
    const mark = event.target.closest("[data-hold]");
    typed = "";
    if (mark?.matches(":focus-visible")) beside.under(mark);
  });
  board.addEventListener("focusout", () => { if (!held) beside.away(); });
}
