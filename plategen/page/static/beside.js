/* Says beside the pointer, or under a mark that the keys move, what is held and how long it is by now. */
const CLEAR_PX = 14, FINGER_PX = 72;

export function tellBeside(told) {
  function put(words, x, y, lift) {
    told.textContent = words;
    told.hidden = !words;
    const { width, height } = told.getBoundingClientRect();
    const left = Math.max(4, Math.min(x + CLEAR_PX, innerWidth - width - 4));
    const above = y - lift - height;
    told.style.transform = `translate(${left}px, ${above > 4 ? above : y + CLEAR_PX}px)`;
  }
  return {
    at(mark, x, y, finger = false) { // a finger hides what is under it
      if (mark) put(mark.dataset.words ?? "", x, y, finger ? FINGER_PX : CLEAR_PX);
    },
    under(mark, words = mark.dataset.words ?? "") {
      const { left, bottom } = mark.getBoundingClientRect();
      put(words, left, bottom + 2 * CLEAR_PX, 0);
    },
    away() { told.hidden = true; },
  };
}
