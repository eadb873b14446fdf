// Stickers moved over the sheet by hand, keys or numbers. What they line up with and what is in their
// way is shown before they are let go, and only a free place is taken; dropped onto another of its
// kind, one changes places with it. The picture of the sheet moves with the hand until it is drawn.
import { $, $$, dressed, hold, release, send } from "./exchange.js";
import { act, key, together } from "./by_hand.js";
import { noClick, sticker } from "./under_hand.js";

const ROUNDED = .02; // places are sent in hundredths of a millimetre
const SNAP_PX = 7, SNAP_MM = 2, REST_MS = 700;
const drawn = (name, attributes, ...inside) => {
  const element = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [one, value] of Object.entries(attributes)) element.setAttribute(one, value);
  element.append(...inside);
  return element;
};
const boxIn = (text) => { const [x, y, wide, high] = text.split(" ").map(Number); return { x, y, wide, high }; };
const boxOf = (one) => boxIn(one.dataset.box);
const sentTo = new Map(); // where stickers were sent, by row and place, until the sheet is drawn with them there
const boxNow = (one) => ({ ...boxOf(one), ...sentTo.get(key(one)) });
const shiftedBy = (box, by) => ({ ...box, x: box.x + by.x, y: box.y + by.y });
const sheetOf = (element) => element.closest("svg.sheet");
const stickersOn = (sheet) => $$("a[data-sticker]", sheet);
const lineOf = (one) => $(".line", one).getAttribute("d");
const mm = (value) => (Math.round(value * 10) / 10).toFixed(1);
function around(boxes) {
  const x = Math.min(...boxes.map((box) => box.x)), y = Math.min(...boxes.map((box) => box.y));
  return { x, y, wide: Math.max(...boxes.map((box) => box.x + box.wide)) - x, high: Math.max(...boxes.map((box) => box.y + box.high)) - y };
}
function overlap(a, b, gap) {
  const across = Math.min(a.x + a.wide, b.x + b.wide) - Math.max(a.x, b.x) + gap;
  return across > ROUNDED && Math.min(a.y + a.high, b.y + b.high) - Math.max(a.y, b.y) + gap > ROUNDED;
}

// ---- where it may lie ---------------------------------------------------------------------------
function ground() {
  const { area, zones, gap } = $("#part-sheet").dataset, numbers = zones ? zones.split(" ") : [];
  return { area: boxIn(area), gap: +gap, zones: numbers.flatMap((_, i) => i % 4 ? [] : [boxIn(numbers.slice(i, i + 4).join(" "))]) };
}
// what is in the way, as stickers and in words; empty where the place is free
function inTheWay(boxes, others) {
  const { area, zones, gap } = ground(), past = (box) => box.x < area.x - ROUNDED || box.y < area.y - ROUNDED
    || box.x + box.wide > area.x + area.wide + ROUNDED || box.y + box.high > area.y + area.high + ROUNDED;
  const stickers = others.filter((other) => !other.dataset.fills && boxes.some((box) => overlap(box, boxNow(other), gap)));
  const reasons = stickers.map((other) => boxes.some((box) => overlap(box, boxNow(other), 0)) ? `lies over ${other.dataset.name}` : `nearer than ${gap} mm to ${other.dataset.name}`);
  if (boxes.some(past)) reasons.push("outside what can be printed and cut");
  if (boxes.some((box) => zones.some((zone) => overlap(box, zone, 0)))) reasons.push("on a mark for the machine");
  return { stickers, words: reasons.slice(0, 2).join(", ") + (reasons.length > 2 ? " …" : "") };
}

// ---- what it lines up with ----------------------------------------------------------------------
const AXES = [["x", "wide", "y", "high"], ["y", "high", "x", "wide"]];
// the nearest line of another sticker or of the area, along each axis
function linesNear(box, others, reach) {
  const { area, gap } = ground();
  return AXES.map(([at, long]) => {
    let best = null;
    const start = box[at], end = start + box[long], middle = start + box[long] / 2;
    const meets = (mine, theirs, other) => { const by = theirs - mine; if (Math.abs(by) <= reach && (!best || Math.abs(by) < Math.abs(best.by) - .001)) best = { by, line: theirs, other }; };
    for (const other of others.map(boxNow)) {
      const from = other[at], to = from + other[long];
      meets(start, from, other); meets(end, to, other); meets(middle, from + other[long] / 2, other);
      meets(start, to + gap, other); meets(end, from - gap, other);
    }
    meets(start, area[at], area); meets(end, area[at] + area[long], area); meets(middle, area[at] + area[long] / 2, area);
    return best;
  });
}
function guide(line, axis, box) {
  const [, , across, long] = AXES[axis], from = Math.min(box[across], line.other[across]) - 3, to = Math.max(box[across] + box[long], line.other[across] + line.other[long]) + 3;
  const path = axis ? `M${from} ${line.line}H${to}` : `M${line.line} ${from}V${to}`;
  return [drawn("path", { d: path, class: "guide under" }), drawn("path", { d: path, class: "guide" })];
}

// ---- in the hand --------------------------------------------------------------------------------
let carry = null; // what is being moved: which, on which sheet, how far, and whether it may stay there
let kept = null; // what was let go, until the sheet is drawn with it
const tip = document.createElement("div");
tip.id = "place-says"; tip.setAttribute("role", "status"); tip.hidden = true;
document.body.append(tip);
let hides = null;
function say(words, sort, at) {
  clearTimeout(hides);
  tip.hidden = !words;
  if (!words) return;
  if (tip.textContent !== words) tip.textContent = words;
  tip.className = sort;
  const wide = tip.offsetWidth, high = tip.offsetHeight;
  tip.style.left = Math.max(8, Math.min(at.x - wide / 2, innerWidth - wide - 8)) + "px";
  tip.style.top = Math.max(8, Math.min(at.y - high - 18, innerHeight - high - 8)) + "px";
}
const saidFor = (ms) => { hides = setTimeout(() => say(""), ms); };

function begin(one, by) {
  hide();
  const sheet = sheetOf(one), ones = together(one).filter((other) => !other.dataset.fills && sheetOf(other) === sheet);
  if (!ones.length) return false;
  const print = $(".print", sheet), clip = drawn("clipPath", { id: "carried" }, ...ones.map((other) => drawn("path", { d: lineOf(other) })));
  const image = drawn("image", { href: print.getAttribute("href"), width: print.getAttribute("width"), height: print.getAttribute("height"), preserveAspectRatio: "none" });
  const ghost = drawn("g", { class: "ghost", "aria-hidden": "true" }, clip, drawn("g", { "clip-path": "url(#carried)" }, image), ...ones.map((other) => drawn("path", { d: lineOf(other), class: "edge" })));
  const marks = drawn("g", { class: "guides", "aria-hidden": "true" });
  // it goes on from where it was sent last, though the sheet may show it where it lay before
  const own = ones.map(boxNow), at = boxOf(one), now = boxNow(one), home = (now.number && sheetNumbered(now.number)) || sheet;
  carry = { one, ones, own, by, from: { x: now.x - at.x, y: now.y - at.y }, home, sheet: home, by_mm: { x: 0, y: 0 }, ghost, marks, blocked: "", other: null, pointer: null };
  for (const other of ones) other.classList.add("lifted");
  document.body.classList.add("carries");
  hold(one);
  return true;
}
const sheetNumbered = (number) => $$("svg.sheet").find((one) => one.dataset.number === number);
const othersOn = (sheet) => stickersOn(sheet).filter((other) => !carry.ones.includes(other));
function show(sheet, by, { snaps = false, over = null, at = null } = {}) {
  const { own, from } = carry, others = othersOn(sheet), all = around(own.map((box) => shiftedBy(box, by)));
  const px = sheet.getScreenCTM().a, reach = snaps ? Math.min(SNAP_MM, SNAP_PX / px) : .03;
  const lines = linesNear(all, others, reach);
  if (snaps) by = { x: by.x + (lines[0] ? lines[0].by : 0), y: by.y + (lines[1] ? lines[1].by : 0) };
  const boxes = own.map((box) => shiftedBy(box, by)), moved = around(boxes);
  const swaps = over && carry.ones.length === 1 && !over.dataset.fills && carry.one.dataset.like === over.dataset.like ? over : null;
  const hit = swaps ? { stickers: [], words: "" } : inTheWay(boxes, others);
  Object.assign(carry, { sheet, by_mm: by, blocked: hit.words, other: swaps });
  const { area } = ground();
  carry.marks.replaceChildren(
    drawn("pattern", { id: "hatch", patternUnits: "userSpaceOnUse", width: 2.4, height: 2.4, patternTransform: "rotate(45)" }, drawn("path", { d: "M0 0V2.4", class: "hatch" })),
    drawn("rect", { x: area.x, y: area.y, width: area.wide, height: area.high, class: "reach" }),
    ...hit.stickers.map((other) => drawn("path", { d: lineOf(other), class: "blocks", fill: "url(#hatch)" })),
    ...(hit.words || swaps ? [] : lines.flatMap((line, axis) => line ? guide(line, axis, moved) : [])),
  );
  for (const other of $$(".takes")) other.classList.remove("takes");
  if (swaps) swaps.classList.add("takes");
  carry.ghost.setAttribute("transform", `translate(${from.x + by.x} ${from.y + by.y})`);
  carry.ghost.classList.toggle("blocked", Boolean(hit.words));
  if (carry.ghost.parentNode !== sheet) sheet.append(carry.marks, carry.ghost);
  const corner = new DOMPoint(moved.x + moved.wide / 2, moved.y).matrixTransform(sheet.getScreenCTM());
  const words = swaps ? `Swap with ${swaps.dataset.name}` : hit.words ? `✕ Not here: ${hit.words}` : `${mm(moved.x)} mm from left, ${mm(moved.y)} mm from top`;
  say(words, hit.words ? "blocked" : "", at || corner);
}
// what is carried is put down: nothing of it is left to see, unless it stays until it is drawn
function putDown(stays) {
  const { ones, ghost, marks } = carry;
  marks.remove();
  for (const other of $$(".takes")) other.classList.remove("takes");
  if (!stays) { ghost.remove(); for (const one of ones) one.classList.remove("lifted"); document.body.classList.remove("carries"); }
  carry = null;
}
function giveUp(words = "") {
  const refused = words && carry.blocked;
  putDown(false);
  if (refused) { say(`Not moved: ${refused}`, "blocked", tip.getBoundingClientRect().width ? middleOf(tip) : { x: innerWidth / 2, y: innerHeight / 2 }); saidFor(4000); } else say("");
  release();
}
const middleOf = (element) => { const box = element.getBoundingClientRect(); return { x: box.left + box.width / 2, y: box.bottom + 18 }; };
function keep(sending) {
  const { ones, ghost, sheet } = carry;
  const mine = kept = { ghost, number: sheet.dataset.number, keys: new Set(ones.map(key)), waits: true };
  ghost.classList.add("set");
  putDown(true);
  say("");
  sending.finally(() => { mine.waits = false; if (kept === mine) stay(); else settle(); });
}
function letGo() {
  const { ones, own, by_mm: by, sheet, home, other, one, blocked } = carry, boxes = own.map((box) => shiftedBy(box, by));
  if (other) { putDown(false); say(""); act("swap-stickers", one, other.dataset.sticker); release(); return; }
  if (blocked || (Math.hypot(by.x, by.y) < .005 && sheet === home)) { giveUp(blocked); return; }
  const form = $(".by-hand.place"), hundredths = (value) => value.toFixed(2);
  form.elements.stickers.value = ones.map(key).join(" ");
  form.elements.to.value = ones.map((each, i) => `${hundredths(boxes[i].x)} ${hundredths(boxes[i].y)} ${sheet.dataset.number} ${each.dataset.side}`).join(";");
  ones.forEach((each, i) => sentTo.set(key(each), { x: boxes[i].x, y: boxes[i].y, number: sheet.dataset.number }));
  keep(send(form));
  release();
}
function stay() {
  if (!kept) return;
  const sheet = sheetNumbered(kept.number), print = sheet && $(".print", sheet);
  if (!print || !(kept.waits || print.hasAttribute("aria-busy"))) { forget(); return; }
  sheet.append(kept.ghost);
  for (const one of $$("a[data-sticker]")) {
    one.classList.toggle("lifted", kept.keys.has(key(one)));
    const at = boxOf(one), now = boxNow(one); // it is taken hold of where it is seen
    if (kept.keys.has(key(one)) && sheetOf(one) === sheet) one.setAttribute("transform", `translate(${now.x - at.x} ${now.y - at.y})`);
  }
  // its picture comes after the page that names it
  new MutationObserver((_, watch) => { if (!print.hasAttribute("aria-busy")) { watch.disconnect(); stay(); } }).observe(print, { attributeFilter: ["aria-busy"] });
}
function forget() { hide(); settle(); }
// what was sent is drawn, or was refused
function settle() { if (!kept && !carry && !$(".print[aria-busy]") && !document.body.classList.contains("sending")) sentTo.clear(); }
function hide() {
  if (!kept) return;
  kept.ghost.remove();
  kept = null;
  for (const one of $$(".lifted")) { one.classList.remove("lifted"); one.removeAttribute("transform"); }
  if (!carry) document.body.classList.remove("carries");
}
dressed(() => {
  if (carry && !carry.one.isConnected) { putDown(false); say(""); }
  stay();
  settle();
});

// ---- by the pointer -----------------------------------------------------------------------------
const current = () => $(".stickers a[aria-current]");
// within the chosen sticker it is the pattern that moves; its handle moves the sticker
const movesPattern = (one) => one.hasAttribute("aria-current") && $("#under-hand") && !one.classList.contains("among");
const pointIn = (sheet, event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(sheet.getScreenCTM().inverse());
document.addEventListener("dragstart", (event) => { if (sticker(event.target)) event.preventDefault(); });
document.addEventListener("pointerdown", (event) => {
  const handle = event.target.closest("#move-handle"), one = handle ? current() : sticker(event.target);
  if (carry) { if (carry.by === "keys") rest(); else return; }
  if (!one || event.button || event.shiftKey || (!handle && movesPattern(one))) return;
  // a finger on any other sticker scrolls the page
  if (event.pointerType === "touch" && !handle && !one.classList.contains("among")) return;
  if (handle) event.preventDefault();
  const id = event.pointerId, from = [event.clientX, event.clientY], start = pointIn(sheetOf(one), event);
  let taken = false;
  const move = (e) => {
    if (e.pointerId !== id) return;
    if (!taken && Math.hypot(e.clientX - from[0], e.clientY - from[1]) < 6) return;
    if (!taken) {
      taken = true;
      if (!begin(one, "pointer")) { say("This one only fills the sheet, and has no place of its own.", "blocked", { x: e.clientX, y: e.clientY }); saidFor(4000); stop(); document.addEventListener("pointerup", noClick, { once: true }); return; }
    }
    const at = document.elementFromPoint(e.clientX, e.clientY), over = at && at.closest("a[data-sticker]");
    const sheet = (at && sheetOf(at)) || carry.sheet, to = pointIn(sheet, e);
    show(sheet, { x: to.x - start.x, y: to.y - start.y }, { snaps: true, over: over && !carry.ones.includes(over) ? over : null, at: { x: e.clientX, y: e.clientY } });
  };
  const end = (e) => {
    if (e.type === "keydown" ? e.key !== "Escape" : e.pointerId !== id) return;
    stop();
    if (!taken || !carry) return;
    if (e.type === "pointerup") { noClick(); letGo(); } else {
      if (e.type === "keydown") { e.preventDefault(); e.stopImmediatePropagation(); document.addEventListener("pointerup", noClick, { once: true }); }
      giveUp();
    }
  };
  const stop = () => {
    document.removeEventListener("pointermove", move);
    for (const kind of ["pointerup", "pointercancel", "keydown"]) document.removeEventListener(kind, end, { capture: true });
  };
  document.addEventListener("pointermove", move);
  for (const kind of ["pointerup", "pointercancel", "keydown"]) document.addEventListener(kind, end, { capture: true });
});

// ---- by keys: one edit of a run of them, once they rest in a free place ---------------------------
const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
let later = null;
function rest() { clearTimeout(later); if (carry && carry.by === "keys") { if (carry.blocked) giveUp("said"); else letGo(); } }
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && carry && carry.by !== "pointer") { event.preventDefault(); event.stopImmediatePropagation(); clearTimeout(later); giveUp(); return; }
  const one = sticker(event.target), step = STEPS[event.key];
  if (!one || !step || !event.altKey || event.ctrlKey || event.metaKey) {
    // any other key ends the move: what it does is done to the sheet as it is
    if (carry && carry.by === "keys" && !["Alt", "Shift"].includes(event.key)) rest();
    return;
  }
  event.preventDefault(); // in a browser these keys go back and forth
  if (carry && (carry.by !== "keys" || carry.one !== one)) return;
  if (!carry && !begin(one, "keys")) return;
  const by = event.shiftKey ? 5 : .5;
  show(carry.home, { x: carry.by_mm.x + step[0] * by, y: carry.by_mm.y + step[1] * by });
  clearTimeout(later);
  // in the way of another, it waits there to be moved on
  if (!carry.blocked) later = setTimeout(rest, REST_MS);
}, { capture: true });
document.addEventListener("focusout", (event) => { if (carry && carry.by === "keys" && event.target === carry.one) rest(); });

// ---- by numbers: shown as they are typed ----------------------------------------------------------
document.addEventListener("input", (event) => {
  const form = event.target.matches("[data-place]") && event.target.form, one = form && current();
  if (!one) return;
  const [left, top] = [form.elements.left, form.elements.top].map((field) => parseFloat(field.value.replace(",", ".")));
  if (!Number.isFinite(left + top) || (carry && carry.by !== "numbers") || (!carry && !begin(one, "numbers"))) return;
  const box = boxNow(carry.one);
  Object.assign(carry, { ones: [carry.one], own: [box] });
  release();
  show(carry.home, { x: left - box.x, y: top - box.y });
});
document.addEventListener("change", (event) => {
  if (!event.target.matches("[data-place]") || !carry || carry.by !== "numbers") return;
  giveUp(); // the answer says what is in the way
});
// with the old number put back, no change comes
document.addEventListener("focusout", (event) => { if (event.target.matches("[data-place]") && carry && carry.by === "numbers") giveUp(); });
