/* The first screen: a job is opened, or begun, and its page comes in place of this one. */
const one = (selector, within = document) => within.querySelector(selector);

const paper = one("#paper"), kept = localStorage.getItem("paper");
if (kept && [...paper.options].some((option) => option.value === kept)) paper.value = kept;
paper.addEventListener("change", () => localStorage.setItem("paper", paper.value));

document.addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target, asked = Object.fromEntries(new FormData(form));
  if (form.dataset.sample) asked.sample = form.dataset.sample === "yes";
  if (form.dataset.title) asked.title = `${form.dataset.title} (${one("option:checked", form).textContent.toLowerCase()})`;
  const button = one("button[type=submit]", form);
  button.disabled = true;
  say("");
  try {
    const answer = await fetch(form.action, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(asked) });
    if (answer.ok) { location.assign("/"); return; }
    say(`Not done: ${(await answer.text()).trim()}`);
  } catch {
    say("No connection to the page's program. Start it again, then try once more.");
  }
  button.disabled = false;
});

function say(words) {
  one("#says").textContent = words;
  one("#says").hidden = !words;
}
