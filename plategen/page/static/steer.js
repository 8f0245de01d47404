/* Runs through the steering's frames as the slider is moved; every frame was drawn by the server. */
let at = null;

export function slide(box) {
  const data = box.querySelector("#steer-frames");
  if (!data) return;
  const frames = JSON.parse(data.textContent), slider = box.querySelector("#steer-at");
  const lines = [...box.querySelectorAll("[data-line]")], cells = [...box.querySelectorAll("dd")];
  function showFrame() {
    const frame = frames[Number(slider.value)];
    for (const line of lines) line.setAttribute("d", frame[line.dataset.line]);
    cells.forEach((cell, i) => { cell.textContent = frame.readings[i]; });
    slider.setAttribute("aria-valuetext", frame.readings[0]);
    at = slider.value;
  }
  if (at !== null && Number(at) < frames.length) slider.value = at;
  slider.oninput = showFrame;
  showFrame();
}
