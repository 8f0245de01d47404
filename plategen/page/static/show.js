/* Puts new markup in place of old without touching what stays: a field being typed in keeps its focus and its text,
   an opened group stays open, a scrolled list stays where it is. */
const KEYS = ["id", "data-row", "data-new", "data-group", "data-field", "data-file", "name"];

function key(node) {
  if (node.nodeType !== 1) return null;
  if (node.dataset.hold) return ["hold", node.dataset.hold, node.dataset.file, node.dataset.line].join(" ");
  const name = KEYS.find((k) => node.hasAttribute(k));
  return name ? `${node.tagName} ${node.getAttribute(name)}` : null;
}

const alike = (a, b) => a.nodeType === b.nodeType && a.nodeName === b.nodeName && key(a) === key(b);

function attributes(old, fresh) {
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && !mine(old, name)) old.removeAttribute(name);
  }
  for (const { name, value } of fresh.attributes) {
    if (old.getAttribute(name) !== value && !mine(old, name)) old.setAttribute(name, value);
  }
}

function mine(node, name) { // what whoever reads the page has changed on it
  if (name === "open") return node.nodeName === "DETAILS";
  if (name === "viewBox") return document.body.classList.contains("holding");
  return name === "data-was" || name === "aria-invalid" || (name === "aria-pressed" && node.dataset.viewTrace);
}

function children(old, fresh) {
  const coming = new Set([...fresh.childNodes].map(key).filter(Boolean));
  let here = old.firstChild;
  for (const next of [...fresh.childNodes]) {
    while (here && key(here) && !coming.has(key(here))) {
      const gone = here;
      here = here.nextSibling;
      gone.remove();
    }
    if (here && alike(here, next)) {
      if (here.nodeType === 1) node(here, next);
      else if (here.data !== next.data) here.data = next.data;
      here = here.nextSibling;
    } else {
      old.insertBefore(document.importNode(next, true), here);
    }
  }
  while (here) {
    const gone = here;
    here = here.nextSibling;
    gone.remove();
  }
}

function node(old, fresh) {
  if (old.isEqualNode(fresh)) return;
  attributes(old, fresh);
  children(old, fresh);
}

export function show(box, markup) {
  const fresh = document.createElement("template");
  fresh.innerHTML = markup;
  children(box, fresh.content);
}
