// Things at their true size, and things that move: the motif against a ruler, the artwork under a
// sticker's outline. Coarse and at once: the browser sizes and moves one cell; the exact comes after.
import { $, $$, dressed, sendField } from "./exchange.js";

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
    // a piece so large that it fills the picture however it is turned about the pattern's corner
    const k = place.zoom, far = Math.ceil(k * (+data.wide + +data.high + +data.cellWide + +data.cellHigh)) + 68;
    const corner = [data.x, data.y].map((side) => `${far + place.edge - side * k}px`).join(" ");
    Object.assign(piece.style, { inset: `${-far}px`, width: "auto", height: "auto", backgroundSize: `${data.cellWide * k}px ${data.cellHigh * k}px`,
      backgroundPosition: corner, transformOrigin: corner, transform: `rotate(${data.turn}deg)` });
    onSheet(data);
  }
}
// the same pattern, drawn over the chosen sticker's print on the sheet
function onSheet(data) {
  const drawn = $("#under-hand"), knob = $("#turn-handle .knob");
  if (!drawn) return;
  const { lay, ownWide } = drawn.dataset;
  $("pattern", drawn).setAttribute("patternTransform", `${lay} translate(${-data.x} ${-data.y}) rotate(${data.turn}) scale(${data.cellWide / ownWide})`);
  // the handle stands outside the sticker, to whichever side it points
  const [across, up] = turnedBy(data.turn, 0, 1).map(Math.abs), half = [data.wide / 2, data.high / 2];
  const edge = Math.min(half[0] / Math.max(across, 1e-6), half[1] / Math.max(up, 1e-6));
  knob.setAttribute("transform", `translate(${half}) rotate(${data.turn}) translate(0 ${-edge})`);
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
// ---- the chosen sticker's pattern, in its picture and on the sheet -------------------------------
export const pattern = () => $("[data-drag]");
function turnedBy(degrees, x, y) {
  const angle = degrees * Math.PI / 180, cos = Math.cos(angle), sin = Math.sin(angle);
  return [x * cos - y * sin, x * sin + y * cos];
}
// moved on from where it was, mm; the same place of another repeat is the same place
export function shifted(data, from, dx, dy) {
  const wrap = (value, period) => ((value % period) + period) % period;
  const [x, y] = turnedBy(-data.turn, from.x - dx, from.y - dy);
  const [across, down] = turnedBy(data.turn, wrap(x, +data.cellWide), wrap(y, +data.cellHigh));
  data.x = across.toFixed(1); data.y = down.toFixed(1);
  $("[data-window=x]").value = data.x; $("[data-window=y]").value = data.y;
  cloth(pattern());
}
// at another size, its middle where it was
export function sized(percent) {
  const place = pattern(), data = place && place.dataset;
  $("[data-sizes]").value = percent;
  if (!place || !(percent >= 10)) return;
  const times = percent / data.sizedTo;
  for (const [side, cell, box] of [["x", "cellWide", "wide"], ["y", "cellHigh", "high"]]) {
    data[side] = (+data[side] + data[box] / 2) * times - data[box] / 2;
    data[cell] *= times;
  }
  data.sizedTo = percent;
  cloth(place);
}
// turned about its middle, to so many degrees clockwise
export function turned(degrees) {
  const place = pattern(), data = place && place.dataset;
  if (!place || !(Math.abs(degrees) <= 360)) return;
  const half = [data.wide / 2, data.high / 2];
  const middle = turnedBy(degrees - data.turn, +data.x + half[0], +data.y + half[1]);
  data.x = middle[0] - half[0]; data.y = middle[1] - half[1]; data.turn = degrees;
  cloth(place);
}
// as it was, in the fields too
export function asBefore(kept) {
  const place = pattern();
  if (!place) return;
  Object.assign(place.dataset, kept);
  for (const field of $$("[data-window], [data-sizes], [data-percent], [data-turned]")) field.value = field.defaultValue;
  cloth(place);
}
function windowed(place) {
  const data = place.dataset;
  // no wider than the panel that it is in, which would be scrolled sideways
  const room = Math.max(80, Math.min(300, (place.parentElement.clientWidth || 368) - 68));
  place.zoom = Math.min(2 * mm(), room / data.wide, 300 / data.high);
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
  if (field.matches("[data-sizes]")) $("[data-percent]").value = field.value;
  if (field.matches("[data-sizes], [data-percent]")) sized(field.value);
  if (field.matches("[data-turned]") && field.value) turned(field.value);
});
document.addEventListener("change", (event) => {
  const field = event.target;
  if (field.matches("[data-live=repeat]")) { field.form.elements.repeat.value = field.value + " mm"; sendField(field); }
});
function dress() {
  $$("[data-true-size]").forEach(trueSize);
  $$("[data-drag]").forEach((place) => { if (place.classList.contains("held")) cloth(place); else windowed(place); });
  const own = $("[data-screen-scale]"); if (own) own.value = mm();
}
dressed(dress);
