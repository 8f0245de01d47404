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
  document.addEventListener("focusout", (event) => {
    if (switching) return;
    strip.hidden = true;
    document.body.classList.remove("typing");
    // a value set by a key of ours is a change like any other
    if (event.target.matches?.("input[data-frac]") && event.target.value !== (event.target.dataset.was ?? ""))
      event.target.dispatchEvent(new Event("change", { bubbles: true }));
  });
}
