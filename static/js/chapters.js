// [data-now]: while the video plays, a tap says what begins now; it becomes a line of the chapters' field.
import { marked } from "./chapter-lines.js";

const video = document.querySelector("[data-player] video");
const form = document.querySelector("[data-chapters]");
const marks = document.querySelector("[data-now]");
if (video && form && marks) {
  marks.hidden = false;
  const field = form.elements.text;
  marks.addEventListener("click", (event) => {
    const button = event.target.closest("[data-mark]");
    if (!button) return;
    const nested = "nested" in button.dataset;
    field.value = marked(field.value, video.currentTime, button.dataset.mark, nested);
    marks.querySelector("[data-now-said]").textContent = `Marked: ${button.dataset.mark}.`;
  });
  form.addEventListener("submit", () => {
    // `elements.length` is how many there are
    if (Number.isFinite(video.duration)) form.querySelector("[name=length]").value = String(video.duration);
  });
}
