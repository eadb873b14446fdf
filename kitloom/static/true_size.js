// Things at their true size, and things that move: the motif against a ruler, the artwork under a
// sticker's outline. Coarse and at once: the browser sizes and moves one cell; the exact comes after.
import { $, $$, dressed, hold, release, send, sendField } from "./exchange.js";

const root = document.documentElement;
const kept = (() => { try { return localStorage.getItem("kitloom-mm"); } catch { return null; } })();
function scale(px) { root.style.setProperty("--mm", px + "px"); try { localStorage.setItem("kitloom-mm", px); } catch { /* private windows may not keep it */ } }
if (kept > 2 && kept < 8) scale(kept);
const mm = () => parseFloat(getComputedStyle(root).getPropertyValue("--mm"));
const size = (element, wide, high) => { element.style.width = wide + "px"; element.style.height = high + "px"; };

function cloth(place) {
  const piece = $(".cloth", place), data = place.dataset;
  piece.style.backgroundImage = `url("${data.cell}")`;
  if ("repeat" in data) {
    const wide = data.repeat * mm();
    piece.style.backgroundSize = `${wide * data.across}px ${wide * data.aspect * data.down}px`;
    $(".exact", place).hidden = true;
  } else {
    const k = place.zoom, edge = place.edge;
    piece.style.backgroundSize = `${data.cellWide * k}px ${data.cellHigh * k}px`;
    piece.style.backgroundPosition = `${edge - data.x * k}px ${edge - data.y * k}px`;
  }
}
function trueSize(place) {
  const data = place.dataset, k = mm(), paper = $(".paper", place);
  size(paper, data.wide * k, data.high * k);
  for (const cut of $$(".cut", place)) {
    size(cut, cut.dataset.boxWide * k, cut.dataset.boxHigh * k);
    cut.style.left = cut.dataset.at * k + "px"; cut.style.top = 5 * k + "px";
  }
  const exact = $(".exact", place), dpi = Math.min(300, Math.round(25.4 * k * Math.min(2, devicePixelRatio || 1)));
  const repeat = data.repeat, wanted = `${data.exact}&repeat=${repeat}&wide=${data.wide}&high=${data.high}&dpi=${Math.max(48, dpi)}`;
  if (exact.getAttribute("src") === wanted && !exact.hidden) return;
  cloth(place);
  ruler($("[data-ruler]", place), data.wide, k);
  const loader = new Image();
  loader.onload = () => { if (place.dataset.repeat === repeat) { exact.src = wanted; exact.hidden = false; } };
  loader.src = wanted;
}
function ruler(svg, wide, k) {
  svg.setAttribute("width", wide * k); svg.setAttribute("height", 30);
  svg.replaceChildren();
  const put = (name, attributes, text) => { const e = document.createElementNS("http://www.w3.org/2000/svg", name); for (const [a, v] of Object.entries(attributes)) e.setAttribute(a, v); if (text) e.textContent = text; svg.append(e); };
  for (let at = 0; at <= wide; at++) {
    const long = at % 10 === 0 ? 12 : at % 5 === 0 ? 8 : 5;
    put("path", { d: `M${at * k + .5} 0v${long}`, stroke: "currentColor", "stroke-width": at % 10 ? .7 : 1.2 });
    if (at % 10 === 0 && at > 0 && at < wide - 3) put("text", { x: at * k, y: 25, "text-anchor": "middle", "font-size": 11, fill: "currentColor" }, at / 10 + (at === 10 ? " cm" : ""));
  }
}
// the pattern under the outline at another size, its middle where it was
export function sized(percent) {
  const place = $("[data-drag]"), data = place && place.dataset;
  const slider = $("[data-sizes]"), was = data && +(data.sizedTo || slider.defaultValue);
  slider.value = percent;
  if (!place || !(percent >= 10)) return;
  const times = percent / was;
  for (const [side, cell, box] of [["x", "cellWide", "wide"], ["y", "cellHigh", "high"]]) {
    data[side] = (+data[side] + data[box] / 2) * times - data[box] / 2;
    data[cell] *= times;
  }
  data.sizedTo = percent;
  cloth(place);
}
function windowed(place) {
  const data = place.dataset;
  place.zoom = Math.min(2 * mm(), 300 / data.wide, 300 / data.high);
  place.edge = 34;
  size(place, data.wide * place.zoom + 68, data.high * place.zoom + 68);
  const cut = $(".cut", place);
  size(cut, data.wide * place.zoom, data.high * place.zoom);
  cut.style.left = cut.style.top = place.edge + "px";
  const over = $(".over", place); // its panel and marks, which hide the pattern
  if (over) { size(over, data.wide * place.zoom, data.high * place.zoom); over.style.left = over.style.top = place.edge + "px"; }
  cloth(place);
}

document.addEventListener("input", (event) => {
  const field = event.target;
  if (field.matches("[data-live=repeat]")) {
    field.form.elements.repeat.value = field.value + " mm";
    $("#dpi-says").value = Math.round(field.dataset.px * 25.4 / field.value);
    const place = $("[data-true-size]");
    place.dataset.repeat = field.value;
    cloth(place);
  }
  if (field.matches("[data-screen-scale]")) { scale(field.value); dress(); }
  if (field.matches("[data-window]")) { const place = $("[data-drag]"); place.dataset[field.dataset.window] = field.value || 0; cloth(place); }
});
document.addEventListener("change", (event) => {
  const field = event.target;
  if (field.matches("[data-live=repeat]")) { field.form.elements.repeat.value = field.value + " mm"; sendField(field); }
});
document.addEventListener("pointerdown", (event) => {
  const place = event.target.closest("[data-drag]");
  if (!place || event.button) return;
  const start = { x: event.clientX, y: event.clientY, ox: +place.dataset.x, oy: +place.dataset.y };
  place.setPointerCapture(event.pointerId); place.classList.add("held");
  hold(place);
  const wrap = (value, period) => ((value % period) + period) % period;
  const move = (e) => {
    place.dataset.x = wrap(start.ox - (e.clientX - start.x) / place.zoom, +place.dataset.cellWide).toFixed(1);
    place.dataset.y = wrap(start.oy - (e.clientY - start.y) / place.zoom, +place.dataset.cellHigh).toFixed(1);
    $("[data-window=x]").value = place.dataset.x; $("[data-window=y]").value = place.dataset.y;
    cloth(place);
  };
  const end = () => {
    for (const kind of ["pointerup", "pointercancel"]) place.removeEventListener(kind, end);
    place.removeEventListener("pointermove", move); place.classList.remove("held");
    if (+place.dataset.x !== start.ox || +place.dataset.y !== start.oy) send($("[data-window=x]").form);
    release();
  };
  place.addEventListener("pointermove", move);
  for (const kind of ["pointerup", "pointercancel"]) place.addEventListener(kind, end);
});

function dress() {
  $$("[data-true-size]").forEach(trueSize);
  $$("[data-drag]").forEach((place) => { if (!place.classList.contains("held")) windowed(place); });
  const own = $("[data-screen-scale]"); if (own) own.value = mm();
}
dressed(dress);
