/* Keeps the drawing in view where the page scrolls as one: it stays under the header, whose height the sheet is told. */
export function stay(bar, board) {
  const root = document.documentElement.style;
  const watch = new ResizeObserver(() => {
    root.setProperty("--bar", `${bar.offsetHeight}px`);
    root.setProperty("--board", `${board.offsetHeight}px`);
  });
  watch.observe(bar);
  watch.observe(board);
}
