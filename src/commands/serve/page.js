"use strict";

// The page keeps a state: a view, a variant and numbers that are moved. Every change asks the
// server, which solves; what it sends is shown as it comes. Nothing is worked out here.

const data = JSON.parse(document.getElementById("data").textContent);
const controls = new Map(data.controls.map((control) => [control.address, control]));
const at = (id) => document.getElementById(id);

// ---- the state, and the address bar that holds it ----

const state = { view: "plan", variant: "", moved: new Map(), shown: [], over: "" };

function readState() {
  const words = new URLSearchParams(location.hash.slice(1));
  state.view = words.get("view") === "class" ? "class" : "plan";
  state.variant = words.get("variant") || "";
  state.moved = new Map();
  for (const text of words.getAll("set")) {
    const split = text.indexOf("=");
    if (split > 0) state.moved.set(text.slice(0, split), text.slice(split + 1));
  }
  state.shown = words.getAll("show").filter((address) => controls.has(address));
  state.over = words.get("over") || "";
}

function stateWords() {
  const words = new URLSearchParams();
  if (state.view !== "plan") words.append("view", state.view);
  if (state.variant) words.append("variant", state.variant);
  for (const text of settings()) words.append("set", text);
  for (const address of state.shown) words.append("show", address);
  if (state.over) words.append("over", state.over);
  return words.toString();
}

function writeState() {
  const words = stateWords();
  history.replaceState(null, "", words ? "#" + words : location.pathname);
}

function settings() {
  return Array.from(state.moved, ([address, text]) => address + "=" + text);
}

function asked() {
  return { variant: state.variant || null, set: settings() };
}

// ---- controls: a slider and a field for each number ----

const rows = new Map();

function element(name, properties, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(properties || {})) {
    if (key in made && key !== "list") made[key] = value;
    else made.setAttribute(key, value);
  }
  made.append(...children);
  return made;
}

// The number at the front of a text, if its unit is the slider's.
function onSlider(control, text) {
  const found = /^\s*([-+−0-9.,_eE]+)\s*(.*?)\s*$/.exec(text);
  if (!found || found[2] !== control.unit) return null;
  const value = Number(found[1].replace(/[,_]/g, "").replace("−", "-"));
  return Number.isFinite(value) ? value : null;
}

function withUnit(control, number) {
  return control.unit ? number + " " + control.unit : number;
}

function row(control, idea) {
  const id = "n" + rows.size;
  const slider = element("input", {
    type: "range", id: id + "-slider", min: control.min, max: control.max, step: control.step,
    "aria-describedby": id + "-note",
  });
  const field = element("input", {
    type: "text", id, size: 9, autocomplete: "off", spellcheck: false,
    "aria-describedby": id + "-note",
  });
  const back = element("button", { type: "button", className: "back", textContent: "put back" });
  back.setAttribute("aria-label", "put back " + control.label + " to " + control.text);
  const note = element("p", { className: "note", id: id + "-note" });
  const name = element("label", { htmlFor: id, textContent: idea ? idea.title : control.label });
  slider.setAttribute("aria-label", name.textContent + ", slider");
  const made = element("div", { className: idea ? "idea" : "knob" });
  made.dataset.address = control.address;
  if (idea) {
    const what = element("span", { className: "what", textContent: control.label });
    made.append(element("div", { className: "head" }, name, what));
  } else {
    made.append(name);
  }
  made.append(slider, field, back);
  if (idea) {
    made.append(element("p", { className: "shows", id: id + "-shows", textContent: idea.sentence }));
    slider.setAttribute("aria-describedby", id + "-shows " + id + "-note");
  }
  made.append(note);
  slider.addEventListener("input", () => {
    move(control, withUnit(control, slider.value), performance.now());
  });
  field.addEventListener("change", () => move(control, field.value.trim(), performance.now()));
  field.addEventListener("keydown", (event) => {
    if (event.key === "Escape") showRow(control.address);
  });
  back.addEventListener("click", () => {
    state.moved.delete(control.address);
    slider.focus();
    changed(performance.now());
  });
  rows.set(control.address, { control, made, slider, field, back, note });
  return made;
}

let values = {};
let complaints = {};

function showRow(address) {
  const { control, made, slider, field, back, note } = rows.get(address);
  const moved = state.moved.get(address);
  const text = moved ?? values[address] ?? control.text;
  if (field.value !== text) field.value = text;
  const value = onSlider(control, text);
  if (value !== null && Number(slider.value) !== value) {
    // A number from a field may lie beyond the slider, which then goes as far.
    slider.min = Math.min(control.min, value);
    slider.max = Math.max(control.max, value);
    slider.value = value;
  }
  slider.setAttribute("aria-valuetext", text);
  const complaint = complaints[address] || "";
  for (const input of [slider, field]) input.setAttribute("aria-invalid", String(Boolean(complaint)));
  made.classList.toggle("wrong", Boolean(complaint));
  made.classList.toggle("moved", moved !== undefined);
  back.hidden = moved === undefined;
  let words = complaint;
  if (!words && moved !== undefined) words = "as written: " + control.text;
  else if (!words && values[address] !== undefined) words = "here; as written: " + control.text;
  if (note.textContent !== words) note.textContent = words;
}

function buildControls() {
  const place = at("controls");
  rows.clear();
  place.replaceChildren();
  if (state.view === "class") {
    for (const idea of data.ideas) place.append(row(controls.get(idea.address), idea));
  } else {
    for (const address of addresses()) place.append(row(controls.get(address), null));
  }
  document.body.classList.toggle("class", state.view === "class");
  at("view-plan").setAttribute("aria-pressed", String(state.view !== "class"));
  at("view-class").setAttribute("aria-pressed", String(state.view === "class"));
  for (const address of rows.keys()) showRow(address);
  buildOver();
}

// Chosen numbers, then those added, then any other that is moved.
function addresses() {
  const all = [...data.chosen, ...state.shown, ...state.moved.keys()];
  return [...new Set(all)].filter((address) => controls.has(address));
}

// Under a variant the number as written may be another one, so there it is said.
function move(control, text, since) {
  if (text === "" || (text === control.text && !state.variant)) state.moved.delete(control.address);
  else state.moved.set(control.address, text);
  changed(since);
}

// ---- asking: one question at a time, the newest next, older answers dropped ----

// A question that takes longer than this gives way to a newer one.
const PATIENCE_MS = 150;
let newest = 0;
let running = null;
let waiting = null;

function changed(since) {
  newest += 1;
  waiting = { sequence: newest, since };
  complaints = {};
  for (const address of rows.keys()) showRow(address);
  writeState();
  forget();
  if (!running) next();
  else if (!running.patience) {
    running.patience = setTimeout(() => {
      if (running && waiting) running.abort.abort();
    }, PATIENCE_MS);
  }
}

async function next() {
  while (waiting) {
    const question = waiting;
    waiting = null;
    running = { abort: new AbortController(), patience: null };
    at("answer").setAttribute("aria-busy", "true");
    const slow = setTimeout(() => { at("working").textContent = "solving …"; }, 400);
    try {
      const found = await ask("answer", asked(), running.abort.signal);
      if (question.sequence === newest || !waiting) showAnswer(found, question);
      else showAnswer(found, { ...question, passing: true });
    } catch (error) {
      if (error.name !== "AbortError") showTrouble(error);
    } finally {
      clearTimeout(slow);
      clearTimeout(running.patience);
      at("working").textContent = "";
      running = null;
    }
  }
  at("answer").setAttribute("aria-busy", "false");
}

async function ask(what, question, signal) {
  const response = await fetch(what, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(question),
    signal,
  });
  const found = await response.json();
  if (!response.ok) throw new Error(found.error ? found.error.message : response.statusText);
  return found;
}

// ---- showing what came ----

const seen = new Map();

// Puts a piece in its place, if it is another than the one that stands there.
function put(place, key, html) {
  if (seen.get(key) === html) return;
  seen.set(key, html);
  const piece = element("template");
  piece.innerHTML = html;
  become(place, piece.content);
}

// What stands in a place becomes what stands in another. What is alike stays, so that the
// browser lays out only what moved: of a picture mostly some words.
function become(place, wanted) {
  let old = place.firstChild;
  let next = wanted.firstChild;
  while (next) {
    const [oldNext, nextNext] = [old && old.nextSibling, next.nextSibling];
    if (!old) place.append(next);
    else if (old.nodeName !== next.nodeName) old.replaceWith(next);
    else if (old.nodeType !== Node.ELEMENT_NODE) {
      if (old.data !== next.data) old.data = next.data;
    } else {
      becomeAttributes(old, next);
      become(old, next);
    }
    [old, next] = [oldNext, nextNext];
  }
  while (old) {
    const after = old.nextSibling;
    old.remove();
    old = after;
  }
}

function becomeAttributes(old, next) {
  for (const { name, value } of next.attributes) {
    if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  if (old.attributes.length === next.attributes.length) return;
  for (const { name } of Array.from(old.attributes)) {
    if (!next.hasAttribute(name)) old.removeAttribute(name);
  }
}

function showAnswer(found, question) {
  const solved = found.total !== undefined;
  document.body.dataset.status = found.status;
  document.body.classList.toggle("unsolved", !solved);
  at("total").textContent = solved ? found.total : "no plan";
  at("total-of").textContent = solved ? found.total_of + ", " + found.status : found.status;
  at("change").textContent = found.change || "";
  put(at("outcome"), "outcome", found.outcome);
  if (solved) showParts(at("parts"), found.parts, newSection);
  values = found.values || {};
  complaints = found.fields || {};
  for (const address of rows.keys()) showRow(address);
  showCommand(found.settings);
  if (question.since !== undefined && !question.passing) {
    if (question.sequence % 1000 === 0) performance.clearMeasures();
    performance.measure("slider to answer", { start: question.since, end: performance.now() });
  }
  if (question.sequence === newest) {
    document.body.dataset.sequence = String(question.sequence);
    if (solved && !waiting) showRest();
  }
}

// What follows an answer: the flows, and everything else about the plan.
async function showRest() {
  const own = new AbortController();
  following = own;
  try {
    const found = await ask("rest", asked(), own.signal);
    for (const part of found.parts) {
      const piece = at("part-" + part.id);
      if (!piece) continue;
      put(piece.lastChild, piece.id, part.html);
      piece.classList.remove("stale");
    }
    showParts(at("folded"), found.folded, newFolded);
    document.body.dataset.rest = document.body.dataset.sequence;
    if (following === own) later();
  } catch (error) {
    if (error.name !== "AbortError") showTrouble(error);
  }
}

function newSection(part) {
  const made = element("section", { className: "part" });
  const head = element("div", { className: "head" });
  head.append(element("h2", { textContent: part.name }));
  if (part.html === null || part.html.includes("<svg")) {
    // A picture fits the page, or has its own size and is moved about.
    const size = element("button", { type: "button", className: "size", textContent: "full size" });
    size.setAttribute("aria-pressed", "false");
    size.setAttribute("aria-label", part.name + " in full size");
    size.addEventListener("click", () => {
      size.setAttribute("aria-pressed", String(made.classList.toggle("large")));
    });
    head.append(size);
  }
  made.append(head, element("div", { className: "held" }));
  return made;
}

function newFolded(part) {
  const made = element("details", { className: "folded" });
  made.append(element("summary", { textContent: part.name }), element("div"));
  return made;
}

// Keeps the pieces that stay in place, so that nothing flickers and folds stay open.
function showParts(place, parts, make) {
  const wanted = new Set(parts.map((part) => "part-" + part.id));
  for (const old of Array.from(place.children)) {
    if (!wanted.has(old.id)) {
      seen.delete(old.id);
      old.remove();
    }
  }
  let before = null;
  for (const part of parts) {
    const id = "part-" + part.id;
    let piece = at(id);
    if (!piece) {
      piece = make(part);
      piece.id = id;
    }
    const expected = before ? before.nextSibling : place.firstChild;
    if (expected !== piece) place.insertBefore(piece, expected);
    // What has no content yet gets it a moment later.
    piece.classList.toggle("stale", part.html === null);
    if (part.html !== null) put(piece.lastChild, id, part.html);
    before = piece;
  }
}

function showCommand(given) {
  const quoted = (text) => '"' + text.replace(/["\\$`]/g, "\\$&") + '"';
  const file = /^[\w./-]+$/.test(data.file) ? data.file : quoted(data.file);
  let words = "loopwright solve " + file;
  if (state.variant) words += " --variant " + quoted(state.variant);
  for (const text of given || settings()) words += " \\\n  --set " + quoted(text);
  at("command").textContent = words;
  const query = new URLSearchParams();
  if (state.variant) query.append("variant", state.variant);
  for (const text of given || settings()) query.append("set", text);
  at("export").href = "export.ron?" + query.toString();
}

function showTrouble(error) {
  document.body.classList.add("unsolved");
  at("total").textContent = "no answer";
  at("total-of").textContent = "";
  at("change").textContent = "";
  seen.delete("outcome");
  const words = error instanceof TypeError
    ? "The server does not answer. Is it still running?" : error.message;
  at("outcome").replaceChildren(element("p", { className: "trouble", textContent: words }));
}

// ---- studies: they follow when the page rests, coarse first, then fine ----

const REST_MS = 250;
const ROUNDS = [13, 61];
let resting = null;
let studying = null;
let following = null;

function forget() {
  clearTimeout(resting);
  if (studying) studying.abort();
  if (following) following.abort();
  studying = null;
  following = null;
  for (const id of ["break-even", "sensitivity"]) at(id).classList.add("stale");
  for (const piece of at("folded").children) piece.classList.add("stale");
  at("add-telling").hidden = true;
  at("sensitivity-note").textContent = "";
}

function later() {
  clearTimeout(resting);
  if (state.view === "class" && document.hidden) return;
  resting = setTimeout(breakEven, REST_MS);
}

async function breakEven() {
  const over = at("over").value;
  if (!over) return;
  if (studying) studying.abort();
  const own = new AbortController();
  studying = own;
  const note = at("break-even-note");
  try {
    for (const count of ROUNDS) {
      note.textContent = count === ROUNDS[0] ? "solving …" : "solving more values …";
      const study = { "break-even": { over, values: count } };
      const found = await ask("study", { state: asked(), study }, own.signal);
      put(at("break-even").querySelector(".found"), "break-even", found.html);
      at("break-even").classList.remove("stale");
    }
    note.textContent = "";
  } catch (error) {
    if (error.name === "AbortError") return;
    note.textContent = error.message;
  }
  if (studying === own) studying = null;
}

async function sensitivity() {
  clearTimeout(resting);
  if (studying) studying.abort();
  const own = new AbortController();
  studying = own;
  const note = at("sensitivity-note");
  note.textContent = "solving twice for every number …";
  try {
    const found = await ask("study", { state: asked(), study: { sensitivity: {} } }, own.signal);
    put(at("sensitivity").querySelector(".found"), "sensitivity", found.html);
    at("sensitivity").classList.remove("stale");
    note.textContent = "";
    telling = found.telling.filter((address) => controls.has(address));
    at("add-telling").hidden = telling.length === 0;
  } catch (error) {
    if (error.name === "AbortError") return;
    note.textContent = error.message;
  }
  if (studying === own) studying = null;
}

let telling = [];

function buildOver() {
  const place = at("over");
  const listed = state.view === "class" ? data.ideas.map((idea) => idea.address) : addresses();
  if (state.over && controls.has(state.over) && !listed.includes(state.over)) listed.push(state.over);
  const free = listed.filter((address) => !controls.get(address).shared);
  place.replaceChildren(...free.map((address) => element("option", {
    value: address, textContent: controls.get(address).label,
  })));
  if (free.includes(state.over)) place.value = state.over;
}

// ---- everything else that can be pressed ----

function show(address) {
  if (!data.chosen.includes(address) && !state.shown.includes(address)) state.shown.push(address);
  writeState();
  buildControls();
}

function find(text) {
  const words = text.toLowerCase().split(/[\s.:]+/).filter(Boolean);
  if (words.length === 0) return [];
  return data.controls.filter((control) => {
    const name = control.address.toLowerCase();
    return words.every((word) => name.includes(word));
  });
}

function listNumbers(text) {
  const found = find(text).slice(0, 40);
  at("numbers").replaceChildren(...found.map((control) => element("option", {
    value: control.address, label: control.label + " = " + control.text,
  })));
}

at("find").addEventListener("input", () => {
  const text = at("find").value;
  listNumbers(text);
  if (controls.has(text)) addFound(controls.get(text));
});

at("find").addEventListener("keydown", (event) => {
  if (event.key !== "Enter") return;
  event.preventDefault();
  const found = find(at("find").value);
  if (found.length === 1) addFound(found[0]);
  else if (found.length === 0) at("find-note").textContent = "no number is called so";
  else at("find-note").textContent = found.length + " numbers match; say more, or pick one";
});

function addFound(control) {
  at("find").value = "";
  at("numbers").replaceChildren();
  show(control.address);
  at("find-note").textContent = control.label + " was added";
  rows.get(control.address)?.slider.focus();
}

at("variant").addEventListener("change", () => {
  state.variant = at("variant").value;
  changed(performance.now());
});

at("over").addEventListener("change", () => {
  state.over = at("over").value;
  writeState();
  at("break-even").classList.add("stale");
  breakEven();
});

for (const [id, view] of [["view-plan", "plan"], ["view-class", "class"]]) {
  at(id).addEventListener("click", () => {
    if (state.view === view) return;
    state.view = view;
    writeState();
    buildControls();
    forget();
    showRest();
  });
}

at("reset").addEventListener("click", () => {
  state.variant = "";
  state.moved.clear();
  at("variant").value = "";
  changed(performance.now());
});

at("copy").addEventListener("click", async () => {
  try {
    await navigator.clipboard.writeText(location.href);
    at("kept").textContent = "copied";
  } catch {
    at("kept").textContent = "the address bar holds it: " + location.href;
  }
});

at("ask-sensitivity").addEventListener("click", sensitivity);

at("add-telling").addEventListener("click", () => {
  for (const address of telling) show(address);
  at("add-telling").hidden = true;
});

function begin() {
  readState();
  at("variant").value = state.variant;
  buildControls();
  newest += 1;
  waiting = { sequence: newest };
  complaints = {};
  forget();
  if (running) running.abort.abort();
  else next();
}

addEventListener("hashchange", begin);
begin();
