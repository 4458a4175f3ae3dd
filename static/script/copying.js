// A button that copies the field which it names. Without script it stays hidden, and the field can be copied by hand.

const SAYS_SO_MS = 4000;

async function copied(field) {
  field.select();
  try {
    await navigator.clipboard.writeText(field.value);
  } catch {
    // over plain http a browser has no clipboard of its own: what is selected can be copied still
    return document.execCommand("copy");
  }
  return true;
}

async function onCopy(event) {
  const button = event.target.closest?.("button[data-copies]");
  const field = button && document.getElementById(button.dataset.copies);
  if (!field) return;
  const deed = (button.dataset.deed ??= button.textContent);
  button.textContent = (await copied(field)) ? button.dataset.copied : "Copy what is marked";
  setTimeout(() => { button.textContent = deed; }, SAYS_SO_MS);
}

const show = (part) => part.querySelectorAll("button[data-copies]").forEach((button) => { button.hidden = false; });

export function startCopying() {
  show(document);
  document.addEventListener("htmx:load", (event) => show(event.detail.elt));
  document.addEventListener("click", onCopy);
}
