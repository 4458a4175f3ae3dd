// What somebody typed outlives a closed tab, an empty battery and a lost connection.
// Forms with `data-draft="<name>"` are kept as one types, per person; passwords, files and hidden
// inputs never. A draft goes when the server took the form, when somebody else signs in on this
// browser, or after two weeks.

import { formOf, wasAccepted, wasPressed } from "./answers.js";
import { kept, readJson, row, thisTab } from "./store.js";

const PREFIX = "grainglass.draft.";
const SENT = "grainglass.sent";
const KEEP_MS = 14 * 24 * 3600 * 1000;
const NEVER = 'input[type="password"], input[type="file"], input[type="hidden"], [data-no-draft], button, fieldset, output, object';

const person = () => document.body.dataset.user || "nobody";
const keyOf = (form) => `${PREFIX}${person()}.${form.dataset.draft}`;

// what the page was opened with: hidden, yet part of what was typed, since it says against which figures
const openedOf = (form) => form.querySelector("input[data-opened]");

const fieldsOf = (form) => [...form.elements].filter((field) => field.name && !field.matches(NEVER));

/** The values of a form by name; a box or a radio by what is chosen. */
export function valuesOf(form) {
  const values = {};
  for (const field of fieldsOf(form)) {
    values[field.name] ??= [];
    if (field.matches('input[type="checkbox"], input[type="radio"]')) {
      if (field.checked) values[field.name].push(field.value);
    } else if (field.matches("select[multiple]")) {
      values[field.name].push(...[...field.selectedOptions].map((option) => option.value));
    } else {
      values[field.name].push(field.value);
    }
  }
  return values;
}

function put(form, values) {
  const left = structuredClone(values);
  for (const field of fieldsOf(form)) {
    const wanted = left[field.name];
    if (!wanted) continue;
    if (field.matches('input[type="checkbox"], input[type="radio"]')) {
      field.checked = wanted.includes(field.value);
    } else if (field.matches("select[multiple]")) {
      for (const option of field.options) option.selected = wanted.includes(option.value);
    } else if (wanted.length) {
      const value = wanted.shift();
      // a choice that is no longer offered is left as the server has it
      if (!field.matches("select") || [...field.options].some((option) => option.value === value)) field.value = value;
    }
  }
}

const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

function save(form) {
  kept.set(keyOf(form), JSON.stringify({ at: Date.now(), values: valuesOf(form), opened: openedOf(form)?.value }));
}

const isRefused = (form) => form.querySelector('[aria-invalid="true"], .bad, .asks, [data-fault] > *') !== null;

// Live figures listen for typing: what is put back counts as typed.
function tellFigures(form) {
  for (const field of fieldsOf(form)) field.dispatchEvent(new Event("input", { bubbles: true }));
}

function restore(form) {
  const draft = readJson(kept, keyOf(form));
  if (!draft) return;
  const served = valuesOf(form);
  const opened = openedOf(form);
  const servedOpened = opened?.value;
  put(form, draft.values);
  if (same(served, valuesOf(form))) return;
  if (opened && draft.opened) opened.value = draft.opened;
  const line = row("row-kept");
  line.querySelector("[data-clear]").addEventListener("click", () => {
    kept.remove(keyOf(form));
    put(form, served);
    if (opened) opened.value = servedOpened;
    tellFigures(form);
    kept.remove(keyOf(form));
    line.remove();
    fieldsOf(form)[0]?.focus();
  });
  form.prepend(line);
  tellFigures(form);
}

function setUp(form) {
  if (form.dataset.draftReady) return;
  form.dataset.draftReady = "yes";
  // what the server sent back with a sentence, or what an address carries, is newer than what was kept
  if (isRefused(form) || "draftNewer" in form.dataset) save(form);
  else restore(form);
  form.addEventListener("input", () => save(form));
  form.addEventListener("change", () => save(form));
}

function setUpAll(root) {
  if (root.matches?.("form[data-draft]")) setUp(root);
  root.querySelectorAll?.("form[data-draft]").forEach(setUp);
}

// Without htmx the answer is the next page: it knows from here what was sent.
function noteSent(event) {
  const form = event.target;
  if (!form.matches("form[data-draft]") || event.defaultPrevented || form.hasAttribute("hx-post")) return;
  thisTab.set(SENT, JSON.stringify({ key: keyOf(form), path: location.pathname }));
}

// Only a page that a form led to says that it was taken: not Back, not a reload, not a typed address.
function cameFrom(path) {
  const [navigation] = performance.getEntriesByType("navigation");
  if (navigation && navigation.type !== "navigate") return false;
  try { return new URL(document.referrer).pathname === path; } catch { return false; }
}

function dropIfTaken() {
  const sent = readJson(thisTab, SENT);
  thisTab.remove(SENT);
  if (!sent || "refused" in document.body.dataset || !cameFrom(sent.path)) return;
  // a form that came back with a sentence is kept again as it stands
  kept.remove(sent.key);
}

function dropForeignAndOld() {
  const mine = `${PREFIX}${person()}.`;
  for (const key of kept.keys(PREFIX)) {
    const foreign = document.body.dataset.user && !key.startsWith(mine);
    const old = Date.now() - (readJson(kept, key)?.at ?? 0) > KEEP_MS;
    if (foreign || old) kept.remove(key);
  }
}

export function startDrafts() {
  dropForeignAndOld();
  dropIfTaken();
  setUpAll(document);
  document.addEventListener("submit", noteSent);
  document.addEventListener("htmx:load", (event) => setUpAll(event.detail.elt));
  document.addEventListener("htmx:afterRequest", (event) => {
    const form = formOf(event);
    if (form?.matches("form[data-draft]") && wasPressed(event) && wasAccepted(event)) kept.remove(keyOf(form));
  });
}
