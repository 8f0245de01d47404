/* A row of fractions for fields of inches, for phones whose number keys have no stroke and no space. */
const SHAPE = /^\s*(-?)\s*(?:(\d+)(?:[\s-]+(\d+)\/(\d+))?|(\d+)\/(\d+))?\s*$/;

function read(text) { // sign, whole inches, and the rest in 32nds; null if it is no such number
  const found = SHAPE.exec(text);
  if (!found) return null;
  const [, sign, whole, over, under, alone, below] = found;
  const part = over ? over / under : alone ? alone / below : 0;
  return { sign, whole: Number(whole || 0), marks: Math.round(part * 32) };
}

function write({ sign, whole, marks }) {
  whole += Math.floor(marks / 32);
  let over = marks % 32, under = 32;
  while (over && over % 2 === 0) { over /= 2; under /= 2; }
  return sign + [whole || !over ? whole : "", over ? `${over}/${under}` : ""].filter((s) => s !== "").join(" ");
}

export function offerFractions(strip) {
  let field = null, switching = false;
  const small = matchMedia("(pointer: coarse), (max-width: 700px)");

  document.addEventListener("focusin", (event) => {
    if (strip.contains(event.target)) return;
    field = event.target.matches?.("input[data-frac]") ? event.target : null;
    strip.hidden = !(field && small.matches);
    document.body.classList.toggle("typing", !strip.hidden);
    place();
  });
  function other(typing) { // a phone takes up other keys only when the field is entered anew
    switching = true;
    typing.inputMode = typing.inputMode === "text" ? "decimal" : "text";
    typing.blur();
    typing.focus();
    switching = false;
  }
  function place() { // above the phone's own keys
    const view = window.visualViewport;
    if (view) strip.style.bottom = `${Math.max(0, window.innerHeight - view.height - view.offsetTop)}px`;
  }
  window.visualViewport?.addEventListener("resize", place);
  window.visualViewport?.addEventListener("scroll", place);

  strip.addEventListener("pointerdown", (event) => event.preventDefault()); // the field keeps the focus
  strip.addEventListener("click", (event) => {
    const name = event.target.dataset.key;
    if (!name || !field) return;
    const now = read(field.value);
    if (name === "space" || name === "/") field.setRangeText(name === "/" ? "/" : " ", field.selectionStart, field.selectionEnd, "end");
    else if (name === "abc") other(field);
    else if (name === "−") field.value = field.value.startsWith("-") ? field.value.slice(1) : `-${field.value}`;
    else if (now && name[0] === "+") field.value = write({ ...now, marks: now.marks + 32 / Number(name.slice(3)) });
    else if (now) { const [over, under] = name.split("/"); field.value = write({ ...now, marks: (32 * over) / under }); }
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
  strip.addEventListener("keydown", (event) => { // the arrows go along, Escape goes back to the field
    const keys = [...strip.children], way = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (event.key === "Escape") field?.focus();
    if (way) keys.at((keys.indexOf(event.target) + way) % keys.length).focus();
  });
  document.addEventListener("keydown", (event) => { // a field with the strip on leads into it, by the arrow down with Alt
    if (event.altKey && event.key === "ArrowDown" && event.target === field && !strip.hidden) { event.preventDefault(); strip.firstElementChild.focus(); }
  });
  document.addEventListener("focusout", (event) => {
    const inside = (node) => node && (node === field || strip.contains(node)); // from the field to its keys and back
    if (switching || (field && inside(event.target) && inside(event.relatedTarget))) return;
    strip.hidden = true;
    document.body.classList.remove("typing");
    // a value set by a key of ours is a change like any other
    const left = field && strip.contains(event.target) ? field : event.target;
    if (left.matches?.("input[data-frac]") && left.value !== (left.dataset.was ?? ""))
      left.dispatchEvent(new Event("change", { bubbles: true }));
  });
}
