// An act at the bench: done once however often it is sent, and dated when it was pressed.
// Forms with `data-act` carry three hidden inputs: `key`, `happened_at`, `sent_at`.

import { leavesPage, wasAccepted, wasPressed } from "./answers.js";

/** A fresh version 4 UUID; a page without https has getRandomValues only. */
export function newKey() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

function hiddenInput(form, name) {
  let input = form.querySelector(`input[type="hidden"][name="${name}"]`);
  if (!input) {
    input = document.createElement("input");
    input.type = "hidden";
    input.name = name;
    form.append(input);
  }
  return input;
}

function renew(form) {
  hiddenInput(form, "key").value = newKey();
  hiddenInput(form, "happened_at").value = "";
  hiddenInput(form, "sent_at").value = "";
}

// A form that came back with a sentence holds the moment of the first press: it is the same act still.
function setUp(form) {
  if (form.dataset.actReady) return;
  form.dataset.actReady = "yes";
  if (!hiddenInput(form, "happened_at").value) renew(form);
}

function setUpAll(root) {
  if (root.matches?.("form[data-act]")) setUp(root);
  root.querySelectorAll?.("form[data-act]").forEach(setUp);
}

function stamp(event) {
  const form = event.target;
  if (!form.matches("form[data-act]")) return;
  setUp(form);
  const now = new Date().toISOString();
  const happened = hiddenInput(form, "happened_at");
  if (!happened.value) happened.value = now;
  hiddenInput(form, "sent_at").value = now;
}

// What was accepted here and stays on the page may be done again, as an act of its own.
function onAnswer(event) {
  const form = event.detail.elt;
  if (!form.matches?.("form[data-act]") || !wasPressed(event)) return;
  if (wasAccepted(event) && !leavesPage(event)) renew(form);
}

export function startActs() {
  setUpAll(document);
  // on the window, so that the stamps are there before anything reads the form
  window.addEventListener("submit", stamp, { capture: true });
  document.addEventListener("htmx:load", (event) => setUpAll(event.detail.elt));
  document.addEventListener("htmx:afterRequest", onAnswer);
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) document.querySelectorAll("form[data-act]").forEach(renew);
  });
}
