// What every page does: sends the newest token, sends a form once, and says so when nothing arrived.

import { startActs } from "./acts.js";
import { startClocks } from "./clocks.js";
import { startDrafts } from "./drafts.js";
import { row, whenReady } from "./store.js";

const NO_ANSWER = ["No answer came from the server.", "What you typed is all still here. Look at the connection and press again."];
const BROKEN = ["The server could not take it.", "What you typed is all still here. Wait a moment and press again."];
const SIGNED_OUT = ["You are signed out.", "What you typed is all still here. Sign in in another tab, then press again."];
const NOT_ALLOWED = ["The server refused this.", "What you typed is all still here. Load the page again before you press once more."];
const TOO_BIG = ["That is more than the server takes at once.", "What you typed is all still here. Choose a smaller photo and press again."];
const RELEASE_MS = 20000;

function cookie(name) {
  const found = document.cookie.split("; ").find((part) => part.startsWith(name + "="));
  return found ? decodeURIComponent(found.slice(name.length + 1)) : "";
}

// A page from the browser's memory holds the token from before sign-in; the cookie holds today's.
function freshenToken(form) {
  const field = form.querySelector('input[name="csrfmiddlewaretoken"]');
  const token = cookie("csrftoken");
  if (field && token) field.value = token;
}

const buttonsOf = (form) => [...form.elements].filter((part) => part.matches('button:not([type="button"]), input[type="submit"]'));

function hold(form) {
  form.setAttribute("aria-busy", "true");
  for (const button of buttonsOf(form)) button.setAttribute("aria-disabled", "true");
}

function release(form) {
  form.removeAttribute("aria-busy");
  for (const button of buttonsOf(form)) button.removeAttribute("aria-disabled");
}

function onSubmit(event) {
  const form = event.target;
  if (form.getAttribute("aria-busy") === "true") {
    event.preventDefault();
    event.stopImmediatePropagation();
    return;
  }
  if (form.method !== "post" && !form.hasAttribute("hx-post")) return;
  freshenToken(form);
  // after the handlers that read the form, so that none finds it held already
  setTimeout(() => {
    if (!form.hasAttribute("hx-post") && event.defaultPrevented) return;
    hold(form);
    // a page that answers with a file stays where it is
    if (!form.hasAttribute("hx-post")) setTimeout(() => release(form), RELEASE_MS);
  }, 0);
}

const formOf = (event) => event.detail.elt?.closest?.("form") ?? null;
const wasPressed = (event) => event.detail.requestConfig?.triggeringEvent?.type === "submit";

function slotOf(form) {
  let slot = form.querySelector("[data-fault]");
  if (!slot) {
    slot = document.createElement("div");
    slot.dataset.fault = "";
    form.prepend(slot);
  }
  return slot;
}

function say(event, [what, then], way = null) {
  const form = formOf(event);
  if (!form) return; // a poll that fails is tried again by itself
  const fault = row("row-fault");
  fault.querySelector("[data-what]").textContent = what;
  fault.querySelector("[data-then]").textContent = then;
  if (way) {
    const link = fault.querySelector("[data-way]");
    link.href = way.url;
    link.target = "_blank";
    link.textContent = way.word;
    link.hidden = false;
  }
  if (!wasPressed(event)) fault.querySelector(".state").lastChild.textContent = "no answer";
  slotOf(form).replaceChildren(fault);
  if (wasPressed(event)) fault.scrollIntoView({ block: "nearest" });
}

function saySignedOut(event) {
  say(event, SIGNED_OUT, { url: document.body.dataset.signIn, word: "Sign in" });
}

function sentenceFor(status) {
  if (status === 413) return TOO_BIG;
  return status >= 500 ? BROKEN : NOT_ALLOWED;
}

// An answer that led to the sign-in page must not be put in place of what was asked for.
function onBeforeSwap(event) {
  const answered = event.detail.xhr?.responseURL;
  const signIn = document.body.dataset.signIn;
  if (!answered || !signIn || new URL(answered).pathname !== signIn || location.pathname === signIn) return;
  event.detail.shouldSwap = false;
  saySignedOut(event);
}

function onRefused(event) {
  const status = event.detail.xhr.status;
  if (status === 401) saySignedOut(event);
  else say(event, sentenceFor(status));
}

function onAfterRequest(event) {
  const form = formOf(event);
  if (!form) return;
  if (wasPressed(event)) release(form);
}

// Files can't be sent back by the server: a form that comes again with a sentence keeps those it had.
function keepFiles() {
  let chosen = new Map();
  document.addEventListener("htmx:beforeSwap", (event) => {
    chosen = new Map();
    const form = formOf(event);
    if (!form || event.detail.xhr.status !== 422) return;
    for (const input of form.querySelectorAll('input[type="file"]')) {
      if (input.files.length) chosen.set(input.name, input.files);
    }
  });
  document.addEventListener("htmx:afterSettle", () => {
    for (const [name, files] of chosen) {
      for (const input of document.querySelectorAll('input[type="file"]')) {
        if (input.name === name && !input.files.length) input.files = files;
      }
    }
    chosen = new Map();
  });
}

// The first sentence that says what is wrong gets the focus, so that a phone scrolls to it.
function showFirstWrong() {
  document.querySelector('main [aria-invalid="true"]')?.focus();
}

function fillZone() {
  for (const input of document.querySelectorAll("input[data-zone]")) {
    if (!input.value) input.value = Intl.DateTimeFormat().resolvedOptions().timeZone ?? "";
  }
}

document.addEventListener("submit", onSubmit, { capture: true });
document.addEventListener("htmx:configRequest", (event) => {
  const token = cookie("csrftoken");
  if (token && event.detail.verb !== "get") event.detail.headers["X-CSRFToken"] = token;
});
document.addEventListener("htmx:beforeRequest", (event) => {
  if (wasPressed(event)) formOf(event)?.querySelector("[data-fault]")?.replaceChildren();
});
document.addEventListener("htmx:beforeSwap", onBeforeSwap);
document.addEventListener("htmx:responseError", onRefused);
document.addEventListener("htmx:sendError", (event) => say(event, NO_ANSWER));
document.addEventListener("htmx:timeout", (event) => say(event, NO_ANSWER));
document.addEventListener("htmx:afterRequest", onAfterRequest);
document.addEventListener("htmx:afterSettle", (event) => {
  if (event.detail.xhr?.status === 422) showFirstWrong();
});
window.addEventListener("pageshow", (event) => {
  if (event.persisted) document.querySelectorAll("form").forEach(release);
});

keepFiles();
whenReady(() => {
  fillZone();
  showFirstWrong();
  startActs();
  startDrafts();
  startClocks();
});
