// Long tables are folded away on a small screen; paper, and a reader without scripts, has them open.
(() => {
  const folds = document.querySelectorAll("details.fold");
  const open = (is) => { for (const fold of folds) fold.open = is; };
  if (matchMedia("screen and (max-width: 44rem)").matches) open(false);
  addEventListener("beforeprint", () => open(true));
})();
