// Files dropped or chosen go to kitloom two at a time, each answered as soon as it is measured.
import { $, $$, accepted, errand, gone, say, take } from "./exchange.js";

const MOST = 2001; // more names than kitloom looks at
let line = Promise.resolve(), busy = 0;
errand(() => busy > 0, () => line);

// each file with the path that it has in what was dropped
function arrive(files) {
  if (!busy) forget();
  busy++;
  const looking = files.length === 1 ? null : note("Looking at what you dropped …");
  line = line.then(() => bring(files, looking)).finally(() => busy--);
}
async function bring(files, looking) {
  const drop = `${Date.now()}-${Math.random()}`, of = [...files];
  // without the ending, so that "x" comes before "x (1)", which may be a copy of it
  const stem = ({ path }) => path.replace(/\.[^.]*$/, "");
  of.sort((a, b) => stem(a).localeCompare(stem(b), undefined, { numeric: true }));
  const come = looking ? await sorted(of, drop) : of;
  const queue = come.map(({ file }, turn) => ({ file, drop, turn, item: note(`${file.name}: measuring …`) }));
  if (looking) looking.remove();
  const worker = async () => { for (let next; (next = queue.shift());) { await carry(next); count(1, 0); } };
  const stop = queue.length > 2 && stopper(queue);
  count(0, queue.length);
  await Promise.all([worker(), worker()]);
  if (stop) stop.remove();
  if (busy < 2) count(-done, -total);
}
// kitloom tells by the names which files are wanted, and opens the recipe among them; what it wrote
// itself, and what lies beside artwork, need not come
async function sorted(files, drop) {
  const body = new FormData();
  body.append("names", JSON.stringify(files.map(({ path }) => path))); body.append("drop", drop);
  const ask = async () => (await fetch("/sorting", { method: "POST", body })).json();
  try {
    let answer = await ask();
    if (answer.recipe !== undefined) {
      body.append("recipe", files[answer.recipe].file.slice(0, 2e6), "recipe.toml");
      answer = await ask();
    }
    shown(answer.page);
    return answer.come.map((number) => files[number]);
  } catch { note(gone, true); return []; }
}
// how many of those that were dropped are answered
let done = 0, total = 0;
function count(more, came) {
  done += more; total += came;
  let said = $("#arriving .count");
  if (total > 1 && !said) { said = document.createElement("li"); said.className = "count"; $("#arriving").prepend(said); }
  if (said && total < 2) said.remove(); else if (said) said.textContent = `Taking in your files: ${done} of ${total}`;
}
// each thing that was refused, or is no artwork, in a line of its own
function answered(text, before) {
  const fresh = new DOMParser().parseFromString(text, "text/html"), said = $$("#part-answer .said", fresh);
  for (const one of said) note((one.matches(".warn") ? "" : before) + one.textContent.trim().replace(/\s+/g, " "), one.matches(".warn") ? "noted" : "bad");
  if (!said.length && fresh.body.textContent.trim() && !$("main", fresh)) note(before + fresh.body.textContent.trim(), true);
}
// a page as it is now, and what is said on it
function shown(text) {
  const fresh = new DOMParser().parseFromString(text, "text/html"), told = $("#part-answer", fresh);
  answered(text, "");
  if (told) told.replaceChildren();
  take(fresh);
}
// what was said of the last drop goes with the next one, and when it is undone
function forget() {
  for (const told of $$("#arriving .noted, #arriving .bad, #part-answer .said")) told.remove();
}
accepted((form) => { if (/\/edit\/(undo|redo)$/.test(form.action) && !busy) forget(); });
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
    if (answer.ok) shown(text); else answered(text, "Not added: ");
  } catch { item.className = "bad"; item.textContent = `${file.name}: ${gone}`; }
}
function note(words, bad) {
  for (const told of $$("#arriving .noted, #arriving .bad")) if (told.textContent === words) told.remove(); // said once
  const item = document.createElement("li"); item.textContent = words; if (bad) item.className = bad === true ? "bad" : bad;
  $("#arriving").append(item); return item;
}
// all that lies in a folder; what is hidden there the maker does not see herself
async function inside(entry, found = []) {
  if (found.length >= MOST || (entry.name.startsWith(".") && entry.isDirectory)) return found;
  if (entry.isFile) {
    const file = await new Promise((done, fail) => entry.file(done, fail));
    found.push({ file, path: entry.fullPath.slice(1) });
    return found;
  }
  const reader = entry.createReader();
  for (;;) {
    const some = await new Promise((done, fail) => reader.readEntries(done, fail));
    if (!some.length) return found;
    for (const one of some) await inside(one, found);
  }
}
function chosen(field) {
  const files = [...field.files].map((file) => ({ file, path: file.webkitRelativePath || file.name }));
  arrive(files.filter(({ path }) => !/(^|\/)\.[^/]+\//.test(path)).slice(0, MOST));
  field.value = "";
}
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
      Promise.all(entries.map((entry) => inside(entry))).then((lists) => arrive(lists.flat()));
    }
  });
}
