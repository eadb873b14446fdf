// Before and after lie on each other; a slider, or a pointer on the picture, moves what parts them.
import { $, $$, dressed } from "./exchange.js";

function show(slider) {
  slider.closest(".compare").style.setProperty("--at", `${slider.value}%`);
  slider.setAttribute("aria-valuetext", `${slider.value} % before, ${100 - slider.value} % after`);
}
document.addEventListener("input", (event) => { if (event.target.matches("[data-compare]")) show(event.target); });
for (const name of ["pointerdown", "pointermove"]) document.addEventListener(name, (event) => {
  const shown = event.buttons & 1 && event.target.closest(".compare .shown");
  if (!shown) return;
  const box = shown.getBoundingClientRect(), slider = $("[data-compare]", shown.closest(".compare"));
  slider.value = 100 * (event.clientX - box.left) / box.width;
  show(slider);
});
dressed(() => $$("[data-compare]").forEach(show));
