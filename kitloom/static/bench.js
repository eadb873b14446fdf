// The page works without this script; with it, edits are sent at once and only what changed is swapped.
"use strict";
(() => {
  const root = document.documentElement;
  root.classList.add("scripted");
  const $ = (selector, within = document) => within.querySelector(selector);
  const $$ = (selector, within = document) => [...within.querySelectorAll(selector)];

  // ---- swapping parts -------------------------------------------------------------------------
  const came = new WeakMap(); // each part as the server sent it, before this script dressed it
  const noteParts = () => $$("[data-part]").forEach((part) => { if (!came.has(part)) came.set(part, part.outerHTML); });
  noteParts();
  function swap(text, address) {
    const fresh = new DOMParser().parseFromString(text, "text/html");
    const now = $$("[data-part]"), then = new Map($$("[data-part]", fresh).map((p) => [p.id, p]));
    const focused = document.activeElement, id = focused && focused.id;
    const same = now.length === then.size && now.every((part) => then.has(part.id));
    if (same) {
      for (const part of now) {
        const other = then.get(part.id);
        const sent = other.outerHTML;
        if (sent === came.get(part)) continue;
        keepPictures(part, other);
        keepChoices(part, other);
        part.replaceWith(document.adoptNode(other));
        came.set(other, sent);
      }
    } else {
      $("main").replaceWith(document.adoptNode($("main", fresh)));
      for (const name of ["part-top", "part-said"]) $("#" + name).replaceWith(document.adoptNode(then.get(name)));
    }
    noteParts();
    document.title = fresh.title;
    document.body.dataset.revision = fresh.body.dataset.revision;
    if (address && address !== location.pathname + location.search) history.replaceState(null, "", address);
    dress();
    if (id && document.activeElement !== focused || id && !focused.isConnected) { const again = document.getElementById(id); if (again) again.focus({ preventScroll: true }); }
  }
  // what was chosen but not sent yet, and what was unfolded, stays so
  function keepChoices(old, fresh) {
    for (const select of $$("select:not([data-send])", old)) { const other = select.id && $("#" + select.id, fresh); if (other) other.value = select.value; }
    const name = (details) => $("summary", details).textContent;
    const open = new Set($$("details[open]", old).map(name));
    for (const details of $$("details", fresh)) if (open.has(name(details))) details.open = true;
  }
  // a picture already loaded stays in view until the newer one has come
  function keepPictures(old, fresh) {
    const shown = $$("[data-sheet]", old);
    $$("[data-sheet]", fresh).forEach((image, i) => {
      const before = shown[i], attribute = image.hasAttribute("src") ? "src" : "href";
      if (!before) return;
      const wanted = image.getAttribute(attribute), held = before.getAttribute(attribute);
      if (wanted === held) return;
      image.setAttribute(attribute, held);
      const loader = new Image();
      loader.onload = () => image.setAttribute(attribute, wanted);
      loader.src = wanted;
    });
  }
  let asked = 0;
  async function send(form, extra) {
    const body = form.enctype === "multipart/form-data" ? new FormData(form) : new URLSearchParams(new FormData(form));
    if (extra) for (const [key, value] of extra) body.append(key, value);
    const mine = ++asked;
    const answer = await ask(form.action, { method: "POST", body });
    if (!answer) return null;
    const text = await answer.text();
    if (mine === asked) swap(text, answer.redirected ? path(answer.url) : null);
    return answer;
  }
  async function ask(address, options) { // null, and a word on the page, where kitloom does not answer
    try { return await fetch(address, options); } catch {
      const said = $("#part-said");
      if (!$(".gone", said)) { const words = document.createElement("p"); words.className = "said stop gone"; words.textContent = "kitloom does not answer. Is it still running in the terminal? Your work is kept; start it again, and open the address that it shows."; said.append(words); }
      return null;
    }
  }
  const path = (url) => { const at = new URL(url); return at.pathname + at.search; };
  const typing = () => { const held = document.activeElement; return held && held.matches("input:not([type=checkbox],[type=radio],[type=range])") && held.value !== held.defaultValue; };
  let waiting = 0, looked = 0;
  function look() { // ask for this step again, after a moment in which more may have changed
    clearTimeout(waiting);
    waiting = setTimeout(async () => {
      const mine = asked, turn = ++looked; // an older answer that comes late must not win
      if (typing()) return look();
      const answer = await ask(location.pathname + location.search);
      if (!answer || !answer.ok || mine !== asked || turn !== looked) return;
      const text = await answer.text();
      if (turn !== looked) return;
      if (typing()) return look(); // what is being typed must not be taken away
      swap(text, null);
    }, 60);
  }

  // ---- forms ----------------------------------------------------------------------------------
  document.addEventListener("submit", (event) => {
    if (event.target.method === "get") return;
    const form = event.target;
    if (!form.action.startsWith(location.origin) || form.id === "drop") { if (form.id === "drop") event.preventDefault(); return; }
    event.preventDefault();
    const by = event.submitter;
    if (by && by.type === "image") return;
    send(form).then(() => { if (form.hasAttribute("data-plain")) form.reset(); });
  });
  document.addEventListener("click", (event) => {
    const eye = event.target.closest("input.eye");
    if (!eye) return;
    event.preventDefault();
    const keyboard = event.detail === 0;
    const x = keyboard ? eye.width / 2 : event.offsetX, y = keyboard ? eye.height / 2 : event.offsetY;
    const form = eye.form;
    form.elements.wide.value = Math.max(1, Math.round(eye.clientWidth)); form.elements.high.value = Math.max(1, Math.round(eye.clientHeight));
    send(form, [["at.x", Math.max(0, Math.round(x))], ["at.y", Math.max(0, Math.round(y))]]);
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (field.matches("[data-send], .repeat input[type=text]") && field.form.reportValidity()) send(field.form);
    if (field.matches("[data-live=repeat]")) { field.form.elements.repeat.value = field.value + " mm"; send(field.form); }
    if (field.matches("[data-look]")) looks();
    if (field.id === "files") { arrive([...field.files]); field.value = ""; }
    if (field.id === "folder") { arrive([...field.files]); field.value = ""; }
  });
  document.addEventListener("input", (event) => {
    if (event.target.matches("[data-live=repeat]")) {
      event.target.form.elements.repeat.value = event.target.value + " mm";
      $("#dpi-says").value = Math.round(event.target.dataset.px * 25.4 / event.target.value);
      const place = $("[data-true-size]");
      place.dataset.repeat = event.target.value;
      cloth(place);
    }
    if (event.target.matches("[data-screen-scale]")) { scale(event.target.value); dress(); }
    if (event.target.matches("[data-window]")) { const held = $("[data-drag]"); held.dataset[event.target.dataset.window] = event.target.value || 0; cloth(held); }
  });

  // ---- what is shown of the sheet ----------------------------------------------------------------
  function looks() {
    for (const box of $$("[data-look]")) for (const place of $$("[data-looks]")) place.classList.toggle(box.dataset.look, box.checked);
  }

  // ---- true size, windows, ruler -------------------------------------------------------------------
  const kept = (() => { try { return localStorage.getItem("kitloom-mm"); } catch { return null; } })();
  function scale(px) { root.style.setProperty("--mm", px + "px"); try { localStorage.setItem("kitloom-mm", px); } catch { /* private windows may not keep it */ } }
  if (kept > 2 && kept < 8) scale(kept);
  const mm = () => parseFloat(getComputedStyle(root).getPropertyValue("--mm"));
  const size = (element, wide, high) => { element.style.width = wide + "px"; element.style.height = high + "px"; };

  function cloth(place) { // coarse and at once: the browser sizes and moves one cell
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
    cloth(place);
    ruler($("[data-ruler]", place), data.wide, k);
    const exact = $(".exact", place), dpi = Math.min(300, Math.round(25.4 * k * Math.min(2, devicePixelRatio || 1)));
    const loader = new Image(), repeat = data.repeat;
    loader.onload = () => { if (place.dataset.repeat === repeat) { exact.src = loader.src; exact.hidden = false; } };
    loader.src = `${data.exact}&repeat=${repeat}&wide=${data.wide}&high=${data.high}&dpi=${Math.max(48, dpi)}`;
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
  function windowed(place) {
    const data = place.dataset;
    place.zoom = Math.min(2 * mm(), 300 / data.wide, 300 / data.high);
    place.edge = 34;
    size(place, data.wide * place.zoom + 68, data.high * place.zoom + 68);
    const cut = $(".cut", place);
    size(cut, data.wide * place.zoom, data.high * place.zoom);
    cut.style.left = cut.style.top = place.edge + "px";
    cloth(place);
  }
  document.addEventListener("pointerdown", (event) => {
    const place = event.target.closest("[data-drag]");
    if (!place || event.button) return;
    const start = { x: event.clientX, y: event.clientY, ox: +place.dataset.x, oy: +place.dataset.y };
    place.setPointerCapture(event.pointerId); place.classList.add("held");
    const wrap = (value, period) => ((value % period) + period) % period;
    const move = (e) => {
      place.dataset.x = wrap(start.ox - (e.clientX - start.x) / place.zoom, +place.dataset.cellWide).toFixed(1);
      place.dataset.y = wrap(start.oy - (e.clientY - start.y) / place.zoom, +place.dataset.cellHigh).toFixed(1);
      $("[data-window=x]").value = place.dataset.x; $("[data-window=y]").value = place.dataset.y;
      cloth(place);
    };
    const end = () => {
      place.removeEventListener("pointermove", move); place.classList.remove("held");
      if (+place.dataset.x !== start.ox || +place.dataset.y !== start.oy) send($("[data-window=x]").form);
    };
    place.addEventListener("pointermove", move);
    place.addEventListener("pointerup", end, { once: true });
    place.addEventListener("pointercancel", end, { once: true });
  });

  // ---- dropping ------------------------------------------------------------------------------------
  const wanted = /\.(png|jpe?g|tiff?|webp|bmp|gif|toml)$/i;
  let line = Promise.resolve(), busy = 0;
  function arrive(files) {
    files = files.filter((file) => !file.name.startsWith("."));
    const usable = files.length === 1 ? files : files.filter((file) => wanted.test(file.name));
    usable.sort((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }));
    if (files.length && !usable.length) note("Nothing in there is artwork that can be read.", true);
    const queue = usable.map((file) => ({ file, item: note(`${file.name}: measuring …`) }));
    const worker = async () => { for (let next; (next = queue.shift());) await take(next); };
    busy++;
    line = line.then(() => Promise.all([worker(), worker()])).finally(() => { busy--; look(); });
  }
  async function take({ file, item }) {
    const body = new FormData();
    body.append("files", file);
    try {
      const answer = await fetch("/upload", { method: "POST", body }), text = await answer.text();
      if (answer.ok) { item.remove(); swap(text, null); return; }
      const said = answer.headers.get("content-type").startsWith("text/html") ? $("#part-said", new DOMParser().parseFromString(text, "text/html")).textContent.trim() : text.trim();
      item.className = "bad"; item.textContent = `Not taken in: ${said.replace(/\s+/g, " ")}`;
    } catch { item.className = "bad"; item.textContent = `${file.name}: the page could not reach kitloom. Is it still running?`; }
  }
  function note(words, bad) {
    const item = document.createElement("li"); item.textContent = words; if (bad) item.className = "bad";
    $("#arriving").append(item); return item;
  }
  async function inside(entry) {
    if (entry.isFile) return [await new Promise((done, fail) => entry.file(done, fail))];
    const reader = entry.createReader(), found = [];
    for (;;) {
      const some = await new Promise((done, fail) => reader.readEntries(done, fail));
      if (!some.length) return found;
      for (const one of some) if (one.isFile && found.length < 500) found.push(...(await inside(one)));
    }
  }
  for (const kind of ["dragover", "dragleave", "drop"]) {
    document.addEventListener(kind, (event) => {
      if (![...(event.dataTransfer?.types ?? [])].includes("Files")) return;
      event.preventDefault();
      const well = $(".well");
      if (well) well.classList.toggle("over", kind === "dragover");
      if (kind === "drop" && well) {
        const entries = [...event.dataTransfer.items].map((item) => item.webkitGetAsEntry()).filter(Boolean);
        Promise.all(entries.map(inside)).then((lists) => arrive(lists.flat()));
      }
    });
  }

  // ---- news ----------------------------------------------------------------------------------------
  const news = new EventSource("/events");
  news.onmessage = () => { if (!busy) look(); };

  function dress() {
    $$("[data-true-size]").forEach(trueSize);
    $$("[data-drag]").forEach(windowed);
    const own = $("[data-screen-scale]"); if (own) own.value = mm();
    looks();
  }
  dress();
  if (location.hash && $(location.hash)) $(location.hash).focus({ preventScroll: false });
})();
