// What is done here reaches kitloom, and what changes there is shown here, whatever comes first.
//
// Edits go one after another, in the order in which they were made, and a page that is left waits
// for them. Each page says how much had happened when it was made (data-seen): an older one never
// takes the place of a newer one, and while more has happened than is shown, the step is asked for
// again. A part in which somebody is typing, choosing or dragging is left alone until that is done.
export const $ = (selector, within = document) => within.querySelector(selector);
export const $$ = (selector, within = document) => [...within.querySelectorAll(selector)];
const TYPED = ":is(textarea, input:not([type=checkbox],[type=radio],[type=range],[type=color],[type=file],[type=hidden],[type=image]))";
export const gone = "kitloom does not answer. Is it still running in the terminal? Start it again, and open the address that it shows: all that you gave it is kept.";
const LOST = " Your last change has not reached it.";
const pause = (ms) => new Promise((done) => setTimeout(done, ms));
const parsed = (text) => new DOMParser().parseFromString(text, "text/html");
const seenOf = (page) => Number(page.body.dataset.seen || 0);
const here = () => location.pathname + location.search;

// ---- what is shown ------------------------------------------------------------------------------
const came = new WeakMap(); // each part as the server sent it, before it was dressed
const sent = new WeakMap(); // what was last sent of a field
const dressers = []; // what each fresh part needs before it is complete
let shown = seenOf(document), heard = shown, owed = false, grip = null;
const noteParts = () => $$("[data-part]").forEach((part) => { if (!came.has(part)) came.set(part, part.outerHTML); });
noteParts();
export function dressed(dress) { dressers.push(dress); dress(); }

// somebody is typing, choosing or dragging in there, and it has not been sent yet
function held(place) {
  if (grip && place.contains(grip)) return true;
  const at = document.activeElement;
  return at !== null && place.contains(at) && unsent(at);
}
function unsent(at) {
  return at.matches(TYPED) && at.value !== at.defaultValue && at.value !== sent.get(at);
}
export const typing = (at) => at.isContentEditable || (at.matches && at.matches(TYPED));
export function hold(element) { grip = element; }
export function release() { grip = null; if (owed || heard > shown) look(); }

// where the sheets are seen, they stay there, whatever comes or goes above them
function sheetsTop() {
  const all = $("#part-sheet"), first = all && $("figure", all), box = all && all.getBoundingClientRect();
  return first && scrollY > 0 && box.top < innerHeight && box.bottom > 0 ? first.getBoundingClientRect().top : null;
}
// take a page in: as the answer to an edit, or because this step was asked for again
export function take(fresh, { address = null, answer = false } = {}) {
  if (!$("main", fresh)) return;
  const then = new Map($$("[data-part]", fresh).map((part) => [part.id, part]));
  // what was refused before this page was open is told once, with whichever answer comes first
  const told = then.get("part-answer");
  if (answer || (told && told.textContent.trim())) replace($("#part-answer"), told);
  const moved = address !== null && address !== here();
  if (moved) history.replaceState(null, "", address);
  const seen = seenOf(fresh);
  if (seen < shown && !moved) return;
  const now = $$("[data-part]"), back = placeOf(document.activeElement), top = sheetsTop();
  if (now.length === then.size && now.every((part) => then.has(part.id))) {
    owed = false;
    for (const part of now) {
      const other = then.get(part.id);
      if (part.id === "part-answer" || other.outerHTML === came.get(part)) continue;
      if (held(part)) owed = true; else replace(part, other);
    }
  } else if (held($("main")) && !moved) {
    owed = true;
    return;
  } else {
    owed = false;
    keepChoices($("main"), $("main", fresh));
    const arriving = $("#arriving"), there = $("#arriving", fresh);
    if (arriving && there) there.replaceWith(arriving); // what was said of dropped files stays
    $("main").replaceWith(document.adoptNode($("main", fresh)));
    for (const name of ["part-top", "part-aside", "part-said", "part-batch", "part-status"]) replace($("#" + name), then.get(name));
  }
  noteParts();
  shown = seen;
  document.title = fresh.title;
  for (const dress of dressers) dress();
  back();
  if (top !== null && sheetsTop() !== null) scrollBy(0, sheetsTop() - top);
}
function replace(part, other) {
  if (!part || !other) return;
  const as = other.outerHTML;
  keepPictures(part, other);
  keepChoices(part, other);
  part.replaceWith(document.adoptNode(other));
  came.set(other, as);
}
// what was chosen but is not sent by itself, and what was unfolded, stays so
function keepChoices(old, fresh) {
  for (const field of $$("select:not([data-send]), input[type=color], input[type=file], [data-compare], [data-choice]", old)) {
    const other = field.id && $("#" + field.id, fresh);
    if (!other || (field.tagName === "SELECT" && !keepsChoice(field, other))) continue;
    if (field.type === "file") other.files = field.files; else if (field.type === "checkbox") other.checked = field.checked; else other.value = field.value;
  }
  for (const field of $$("[data-keep]", old)) {
    const other = unsaved(field) && $("#" + field.id, fresh);
    if (!other || other.dataset.was !== undefined) continue;
    other.value = field.value;
    // it is still a change of what was shown when it was begun
    for (const one of $$("input[type=hidden]", field.form)) if (other.form.elements[one.name]) other.form.elements[one.name].value = one.value;
  }
  for (const field of sending ? $$(TYPED, old) : []) { // on its way, and may be refused yet
    const other = field.id && field.value !== field.defaultValue && field.value === sent.get(field) && $("#" + field.id, fresh);
    if (other) { other.value = field.value; sent.set(other, field.value); }
  }
  for (const field of $$("[aria-invalid=true], [data-beside-refused]", old)) { // refused, and not corrected yet
    const other = field.matches(TYPED) && changedIn(field) && $("#" + field.id, fresh), told = $(`#${field.id}-fault`, old);
    if (!other || other.hasAttribute("aria-invalid")) continue;
    other.value = field.value;
    if (told) beside(told.cloneNode(true), other); else marked(other, field.hasAttribute("aria-invalid"));
  }
  const name = (details) => details.id || $("summary", details).textContent;
  const open = new Set($$("details[open]", old).map(name));
  for (const details of $$("details", fresh)) if (open.has(name(details))) details.open = true;
}
// whether another choice than the first one was made, which there still is
function keepsChoice(select, other) {
  const first = [...select.options].find((one) => one.defaultSelected) || select.options[0];
  return first && select.value !== first.value && [...other.options].some((one) => one.value === select.value);
}
// what is written in a form that has a button of its own, and was not sent
function unsaved(field) { return changedIn(field) && field.value !== sent.get(field); }
export const changedIn = (field) => field.value !== (field.dataset.was ?? field.defaultValue);
// a picture already loaded stays in view until the newer one has come, marked where it shows an
// earlier state of the kit
function keepPictures(old, fresh) {
  const before = $$("[data-sheet]", old);
  $$("[data-sheet]", fresh).forEach((image, i) => {
    const name = image.hasAttribute("src") ? "src" : "href";
    const wanted = image.getAttribute(name), now = before[i] && before[i].getAttribute(name);
    if (!now || wanted === now) return;
    image.setAttribute(name, now);
    const stale = image.hasAttribute("aria-busy"), loader = new Image();
    if (stateIn(now) !== stateIn(wanted)) image.setAttribute("aria-busy", "true");
    loader.onload = () => { image.setAttribute(name, wanted); if (!stale) image.removeAttribute("aria-busy"); };
    loader.src = wanted;
  });
}
const stateIn = (address) => address.replace(/-fine$/, ""); // coarse or fine, the kit is the same
// how to find the way back to what had the focus, once parts were swapped
function placeOf(focused) {
  if (!focused || focused === document.body) return () => {};
  const can = "a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]";
  const words = (element) => element.getAttribute("aria-label") || element.textContent.trim() || element.name;
  const part = focused.closest("[data-part]"), id = focused.id, said = words(focused);
  const at = part ? $$(can, part).indexOf(focused) : -1, reselect = selectionOf(focused), was = inView(focused);
  // where a part above or below has gone, the place that somebody looked at stays before her
  const keepInView = (element) => { if (was && !inView(element)) element.scrollIntoView({ block: "center" }); };
  return () => {
    if (focused.isConnected) { keepInView(focused); return; }
    let again = id && document.getElementById(id);
    if (!again && part && at >= 0) {
      const fresh = document.getElementById(part.id), all = fresh ? $$(can, fresh) : [];
      again = all.find((one) => words(one) === said) || all[Math.min(at, all.length - 1)] || fresh;
    }
    again = again || $("#open-step");
    again.focus({ preventScroll: true });
    if (document.activeElement === again) keepInView(again);
    else { again = $("#open-step"); again.focus({ preventScroll: true }); if (was) again.scrollIntoView(); }
    if (again.id === id && again.matches(TYPED)) reselect(again);
  };
}
function inView(element) {
  const box = element.getBoundingClientRect();
  return box.bottom > 0 && box.top < innerHeight;
}
// what is typed next takes the place of what was selected, or goes where the caret stood; a number
// field does not tell where that is: selected as a whole it at least shows what typing will do
function selectionOf(field) {
  const { selectionStart: from = null, selectionEnd: to, value = "" } = field;
  const whole = from === null || (from === 0 && to === value.length);
  return (again) => { if (whole) again.select(); else again.setSelectionRange(from, to); };
}
export function say(words, kind = "stop gone") {
  const place = $("#part-answer"), line = document.createElement("p");
  line.className = `said ${kind}`; line.textContent = words;
  for (const old of $$(`.${kind.split(" ").pop()}`, place)) old.remove();
  place.append(line);
}

// ---- asking again -------------------------------------------------------------------------------
let looking = false, sending = 0;
async function look() {
  if (looking) return;
  looking = true;
  try {
    await pause(10); // a moment in which more may have happened
    for (let failed = 0; (heard > shown || (owed && !held(document.body))) && failed < 5;) {
      if (sending) await chain;
      const asked = here(), answer = await ask(asked);
      if (asked !== here()) continue;
      if (answer && (answer.ok || answer.status === 422)) { take(parsed(await answer.text()), { answer: !answer.ok }); failed = 0; } else { failed++; await pause(500); }
      await pause(40);
    }
  } finally { looking = false; }
}
async function ask(address, options) { // null, and a word on the page, where kitloom does not answer
  try {
    const answer = await fetch(address, options);
    if (answer.status === 403 || answer.status === 421) { say(gone); return null; }
    for (const old of $$("#part-answer .gone")) old.remove();
    return answer;
  } catch { say(gone + (options ? LOST : "")); return null; }
}
let news = null;
function listen() {
  if (news && news.readyState !== EventSource.CLOSED) return;
  news = new EventSource("/events");
  news.onmessage = (event) => { heard = Math.max(heard, JSON.parse(event.data).seen); look(); };
}
// a tab that nobody looks at hangs up: a browser has few lines to one server
document.addEventListener("visibilitychange", () => { if (document.hidden) { news.close(); } else listen(); });

// the same step with another sticker chosen: the page stays where it is, and so does what has the focus
let visits = 0;
async function visit(link, address) {
  const mine = ++visits;
  link.focus({ preventScroll: true });
  link.classList.add("asked");
  while (sending) await chain;
  const answer = await ask(address), text = answer && answer.ok ? await answer.text() : "";
  link.classList.remove("asked");
  if (!text || mine !== visits) return;
  take(parsed(text), { address });
  const one = $(".stickers a[aria-current]");
  if (one) one.scrollIntoView({ block: "nearest" });
}

// ---- where it works -----------------------------------------------------------------------------
// the control that the last edit was made with says so, until the sheet shows what it did
let made = "";
function madeWith(form) {
  const at = document.activeElement, own = [...form.elements].find((one) => one.id);
  made = (at && at.form === form && at.id) || (own ? own.id : "");
  working();
}
function working() {
  document.body.classList.toggle("sending", sending > 0);
  const busy = sending > 0 || $("#part-status").textContent.trim().endsWith("…");
  const at = made && document.getElementById(made);
  for (const old of $$(".working")) old.classList.remove("working");
  if (busy && at && at.form) at.form.classList.add("working");
  if (!busy) made = "";
}
dressers.push(working);

// ---- edits --------------------------------------------------------------------------------------
const takers = []; // what is done once a form was accepted
export function accepted(taker) { takers.push(taker); }
const bodies = new WeakMap(); // what was last sent of a form
// a field as it stands on the page, which may have been swapped since its form was sent
const live = (field) => (!field.isConnected && field.id && document.getElementById(field.id)) || field;
let chain = Promise.resolve(), refused = false;
let typedLast = ""; // the field whose words were sent last
const touched = new WeakSet(); // fields as they stand here, once something was typed into them
document.addEventListener("input", (event) => touched.add(event.target));
// its words were sent, and as it was swapped since, a browser has nothing to take back in it
export const isSent = (field) => field.id !== "" && field.id === typedLast && !touched.has(field);
export function send(form, extra = []) {
  const files = form.enctype === "multipart/form-data";
  const body = files ? new FormData(form) : new URLSearchParams(new FormData(form));
  for (const [key, value] of extra) body.append(key, value);
  bodies.set(form, String(body));
  for (const field of form.elements) sent.set(field, field.value);
  const at = document.activeElement;
  if (at && at.form === form && at.matches(TYPED)) typedLast = at.id;
  sending++;
  madeWith(form);
  // what is sent as a page is left may be no longer than this, by the browser's own rule
  const mine = chain.then(() => post(form, body, !files && String(body).length < 60000));
  chain = mine.catch(() => {});
  return mine;
}
async function post(form, body, keepalive) {
  const answer = await ask(form.action, { method: "POST", body, keepalive });
  const text = answer && await answer.text().catch(() => null);
  sending--;
  const fields = [...form.elements].map(live);
  if (text === null) { for (const field of fields) sent.delete(field); working(); return; }
  const fresh = parsed(text), html = $("main", fresh) !== null;
  if (!html) say(text.trim());
  refused = (refused && sending > 0) || !answer.ok;
  const told = answer.ok ? [] : lifted(fresh);
  if (answer.ok) { fields.forEach(corrected); for (const taker of takers) taker(form); } else { letGo(fields, told); for (const field of fields) if (field.matches("[data-keep]")) sent.delete(field); }
  // of several edits on their way only the last one's page is shown, but a refusal always is
  if (html && (!sending || !answer.ok)) take(fresh, { address: answer.redirected ? addressOf(answer.url) : null, answer: !answer.ok || !refused });
  for (const one of told) beside(one);
  if (answer.ok && !sending && form.isConnected && !held(form)) form.reset();
  if (!sending && (owed || heard > shown)) look();
  working();
}
// what was refused is told beside the field as it stands here, with the word that was typed
function lifted(fresh) {
  for (const field of $$("[data-was]:not([data-keep])", fresh)) {
    if (field.tagName === "SELECT") for (const option of field.options) option.defaultSelected = option.value === field.dataset.was;
    else field.defaultValue = field.dataset.was;
    field.removeAttribute("data-was");
  }
  return $$(".beside", fresh).map((one) => {
    const field = fresh.getElementById(one.dataset.of);
    for (const name of ["aria-invalid", "aria-describedby"]) field.removeAttribute(name);
    one.remove();
    return document.adoptNode(one);
  });
}
function beside(one, field = document.getElementById(one.dataset.of)) {
  const old = field && $("#" + one.id, field.parentElement);
  if (old) old.remove();
  if (field) { field.after(one); field.setAttribute("aria-invalid", "true"); field.setAttribute("aria-describedby", one.id); }
}
function corrected(field) {
  const told = document.getElementById(field.id + "-fault");
  field.removeAttribute("aria-invalid");
  field.removeAttribute("data-beside-refused");
  if (told) { told.remove(); field.removeAttribute("aria-describedby"); }
}
// only what was refused is marked so; what was sent with it stays as it was typed
function marked(field, isRefused) {
  if (isRefused) field.setAttribute("aria-invalid", "true"); else field.dataset.besideRefused = "";
}
// a refused word stays to be corrected; a refused choice goes back to what is true
function letGo(fields, told) {
  const refused = told.map((one) => one.dataset.of), named = fields.some((field) => field.id && refused.includes(field.id));
  for (const field of fields) {
    if (field.matches(TYPED)) { if (field.value !== field.defaultValue) marked(field, !named || refused.includes(field.id)); continue; }
    if (!field.matches(BY_ITSELF)) continue; // chosen in a form with a button of its own
    if (field.tagName === "SELECT") for (const option of field.options) option.selected = option.defaultSelected;
    else if (field.matches("[type=radio], [type=checkbox]")) field.checked = field.defaultChecked;
    else if (field.matches("[type=range]")) field.value = field.defaultValue;
  }
}
const addressOf = (url) => { const at = new URL(url); return at.pathname + at.search; };
const usable = (form) => [...form.elements].every((field) => !field.validity || field.validity.valid || onlyBetween(field.validity));
const onlyBetween = (v) => v.stepMismatch && !(v.badInput || v.rangeOverflow || v.rangeUnderflow || v.tooLong || v.valueMissing || v.patternMismatch || v.typeMismatch);
const BY_ITSELF = "[data-send], .repeat input[type=text]";
export function sendField(field) { if (usable(field.form)) send(field.form); else field.form.reportValidity(); }

document.addEventListener("change", (event) => {
  if (event.target === grip) grip = null;
  if (!event.target.matches(BY_ITSELF)) return;
  if (event.target === keyed) { hold(keyed); clearTimeout(keyedLater); keyedLater = setTimeout(commit, 1000); return; }
  sendField(event.target);
});
// a name typed into a closed list of choices comes to it letter by letter, past others that begin
// alike: it is one edit, once it rests or is left
let keyed = null, keyedLater = null;
function commit() {
  const field = keyed, waits = keyedLater !== null;
  clearTimeout(keyedLater);
  keyed = keyedLater = null;
  if (!waits) return;
  sendField(field);
  release();
}
document.addEventListener("keydown", (event) => {
  if (["Enter", "Tab", "Escape"].includes(event.key) || event.ctrlKey || event.metaKey) commit();
  else if (event.target.matches?.("select")) { if (keyed !== event.target) commit(); keyed = event.target; }
}, { capture: true });
document.addEventListener("pointerdown", commit, { capture: true });
document.addEventListener("input", (event) => corrected(event.target));
document.addEventListener("pointerdown", (event) => { if (event.target.matches("select, input[type=range]")) hold(event.target); });
document.addEventListener("pointerup", () => { if (grip && grip.matches("input")) setTimeout(release); });
document.addEventListener("pointercancel", () => { if (grip && grip.matches("input")) release(); });
document.addEventListener("keydown", (event) => { if (event.key === "Escape" && grip && grip.matches("select")) release(); });
document.addEventListener("focusout", (event) => {
  const field = event.target;
  if (field === keyed) commit();
  // a change that was made before this script listened
  if (field.matches(BY_ITSELF) && field.isConnected && unsent(field) && usable(field.form)) send(field.form);
  setTimeout(() => { if (field === grip) grip = null; if (owed || heard > shown) look(); });
});

document.addEventListener("submit", (event) => {
  const form = event.target, by = event.submitter;
  if (form.method === "get") { if (pending()) { event.preventDefault(); leave(() => form.submit()); } return; }
  if (!form.action.startsWith(location.origin) || form.id === "drop" || (by && by.type === "image")) { event.preventDefault(); return; }
  event.preventDefault();
  // Enter in a field changes it first, which has sent the form already
  if (sending && $(BY_ITSELF, form) && bodies.get(form) === String(new URLSearchParams(new FormData(form)))) return;
  send(form).then(() => { if (form.hasAttribute("data-plain")) form.reset(); });
});

// ---- leaving ------------------------------------------------------------------------------------
const errands = []; // what else must be done before this page is left
export function errand(isUnderWay, untilDone) { errands.push([isUnderWay, untilDone]); }
const pending = () => sending > 0 || errands.some(([isUnderWay]) => isUnderWay());
async function leave(go) {
  while (pending()) await Promise.all([chain, ...errands.map(([, untilDone]) => untilDone())]);
  go();
}
document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href]");
  if (!link || event.defaultPrevented || event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  if (link.getAttribute("href").startsWith("#") || link.hasAttribute("download")) return;
  const to = new URL(link.href.baseVal ?? link.href, location).href;
  if (link.dataset.here !== undefined) {
    event.preventDefault();
    // by keys, the one that is chosen leads on to its settings
    if (addressOf(to) !== here()) { visit(link, addressOf(to)); } else if (!event.detail) document.getElementById(link.dataset.here).focus();
    return;
  }
  // what is being typed is sent by the change that leaving the field makes, before this click
  if (pending()) { event.preventDefault(); leave(() => { location.href = to; }); }
});
addEventListener("pagehide", () => {
  commit();
  const at = document.activeElement;
  if (at && at.matches(BY_ITSELF) && held(at) && usable(at.form)) fetch(at.form.action, { method: "POST", body: new URLSearchParams(new FormData(at.form)), keepalive: true });
});
addEventListener("pageshow", (event) => { if (event.persisted) listen(); });
addEventListener("beforeunload", (event) => { if (errands.some(([isUnderWay]) => isUnderWay())) event.preventDefault(); });

// what was changed before this script came is sent now
export function begin() {
  const forms = new Set();
  for (const field of $$(BY_ITSELF)) {
    const changed = field.tagName === "SELECT" ? [...field.options].some((o) => o.selected !== o.defaultSelected) && [...field.options].some((o) => o.defaultSelected)
      : field.matches("[type=radio], [type=checkbox]") ? field.checked !== field.defaultChecked : field.value !== field.defaultValue;
    // what is being typed will be sent when its field is left
    if (changed && (field !== document.activeElement || !field.matches(TYPED))) forms.add(field.form);
  }
  for (const form of forms) if (usable(form)) send(form);
  listen();
}
