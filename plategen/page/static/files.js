/* A file takes its seconds where solids are made: what is being done is told, and can be called off; then it comes. */
import { post } from "./post.js";

const one = (selector, within = document) => within.querySelector(selector);
const POLL_MS = 300;
let wanted = null; // the link that is waited for

export function madeFiles() {
  const busy = one("#files-busy"), says = one("#files-says");

  document.addEventListener("click", (event) => {
    const link = event.target.closest('a[download][href^="/files"]');
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    fetchOne(link);
  });

  one("button", busy).addEventListener("click", async () => {
    wanted = null;
    busy.hidden = true;
    await post("/files/stop", {});
    say("Called off.");
  });

  async function fetchOne(link) {
    const address = new URL(link.href), name = address.pathname === "/files.zip" ? "" : address.pathname.slice("/files/".length);
    const body = { name: decodeURIComponent(name), paper: address.searchParams.get("paper") ?? undefined };
    const mine = wanted = {};
    say("");
    try {
      for (;;) {
        const told = await post("/files/make", body);
        if (wanted !== mine) return;
        if (told.refused || told.done) { busy.hidden = true; wanted = null; }
        if (told.refused) return say(`Not made: ${told.refused}`);
        if (told.done) return location.assign(link.href);
        one("span", busy).textContent = `${told.step}…`;
        one("progress", busy).value = told.share;
        busy.hidden = false;
        await new Promise((done) => { setTimeout(done, POLL_MS); });
        if (wanted !== mine) return;
      }
    } catch {
      busy.hidden = true;
      say("No connection to the page's program. Start it again, then try once more.");
    }
  }

  function say(words) {
    says.textContent = words;
    says.hidden = !words;
  }
}
