// Files dropped or chosen go to kitloom two at a time, each answered as soon as it is measured.
import { $, $$, errand, gone, say, take } from "./exchange.js";

const wanted = /\.(png|jpe?g|tiff?|webp|bmp|gif|toml|zip)$/i;
let line = Promise.resolve(), busy = 0;
errand(() => busy > 0, () => line);

function arrive(files) {
  files = files.filter((file) => !file.name.startsWith("."));
  const usable = files.length === 1 ? files : files.filter((file) => wanted.test(file.name));
  const others = files.filter((file) => !usable.includes(file));
  // without the ending, so that "x" comes before "x (1)", which may be a copy of it
  const stem = (file) => file.name.replace(/\.[^.]*$/, "");
  usable.sort((a, b) => stem(a).localeCompare(stem(b), undefined, { numeric: true }));
  if (others.length) ask(others);
  const drop = `${Date.now()}-${Math.random()}`;
  const queue = usable.map((file, turn) => ({ file, drop, turn, item: note(`${file.name}: measuring …`) }));
  const worker = async () => { for (let next; (next = queue.shift());) { await carry(next); count(1, 0); } };
  const stop = queue.length > 2 && stopper(queue);
  busy++; count(0, queue.length);
  line = line.then(() => Promise.all([worker(), worker()])).finally(() => { busy--; if (stop) stop.remove(); if (!busy) count(-done, -of); });
}
// how many of those that were dropped are answered
let done = 0, of = 0;
function count(more, came) {
  done += more; of += came;
  let said = $("#arriving .count");
  if (of > 1 && !said) { said = document.createElement("li"); said.className = "count"; $("#arriving").prepend(said); }
  if (said && of < 2) said.remove(); else if (said) said.textContent = `Taking in your files: ${done} of ${of}`;
}
// what lies beside the artwork is answered by its name; it need not come itself
async function ask(others) {
  for (let at = 0; at < others.length; at += 40) {
    const body = new FormData();
    for (const file of others.slice(at, at + 40)) body.append("files", new File([], file.name));
    try { answered(await (await fetch("/upload", { method: "POST", body })).text(), ""); } catch { note(gone, true); }
  }
}
// each thing that was refused, or is no artwork, in a line of its own
function answered(text, before) {
  const fresh = new DOMParser().parseFromString(text, "text/html"), said = $$("#part-answer .said", fresh);
  for (const one of said) note(before + one.textContent.trim().replace(/\s+/g, " "), one.matches(".warn") ? "noted" : "bad");
  if (!said.length && fresh.body.textContent.trim() && !$("main", fresh)) note(before + fresh.body.textContent.trim(), true);
}
// a button that leaves those out that have not been begun
function stopper(queue) {
  const item = note(""), button = document.createElement("button");
  button.type = "button"; button.className = "quiet"; button.textContent = "Stop, and leave the rest out";
  button.onclick = () => { for (const left of queue.splice(0)) { left.item.remove(); count(0, -1); } item.remove(); };
  item.append(button);
  return item;
}
async function carry({ file, drop, turn, item }) {
  const body = new FormData();
  body.append("drop", drop); body.append("turn", turn); // they join the kit in this order
  body.append("files", file);
  try {
    const answer = await fetch("/upload", { method: "POST", body });
    const text = await answer.text();
    item.remove();
    if (answer.ok) take(new DOMParser().parseFromString(text, "text/html")); else answered(text, "Not added: ");
  } catch { item.className = "bad"; item.textContent = `${file.name}: ${gone}`; }
}
function note(words, bad) {
  for (const told of $$("#arriving .noted, #arriving .bad")) if (told.textContent === words) told.remove(); // said once
  const item = document.createElement("li"); item.textContent = words; if (bad) item.className = bad === true ? "bad" : bad;
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
function chosen(field) { arrive([...field.files]); field.value = ""; }
document.addEventListener("change", (event) => { if (event.target.matches("#files, #folder")) chosen(event.target); });
for (const field of $$("#files, #folder")) if (field.files.length) chosen(field); // before this script came
for (const kind of ["dragover", "dragleave", "drop"]) {
  document.addEventListener(kind, (event) => {
    if (![...(event.dataTransfer?.types ?? [])].includes("Files")) return;
    if (event.target.matches("input[type=file]")) return; // it takes what is dropped on it
    event.preventDefault();
    const well = $(".well");
    if (well) well.classList.toggle("over", kind === "dragover");
    if (kind === "drop" && !well) say("Tiles are dropped in step 1, Artwork. Open it, and drop them there.", "warn elsewhere");
    if (kind === "drop" && well) {
      const entries = [...event.dataTransfer.items].map((item) => item.webkitGetAsEntry()).filter(Boolean);
      Promise.all(entries.map(inside)).then((lists) => arrive(lists.flat()));
    }
  });
}
