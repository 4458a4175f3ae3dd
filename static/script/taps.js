// A tap on a drawing goes into the two fields of its place; what is typed stays the way for keyboards.
// `data-taps` on the figure; `data-along` and `data-across` name the fields, `data-length` and `data-width`
// are the sizes in mm of the drawing's first path.

function typed(form, name, value_mm) {
  const field = form.elements[name];
  if (!field) return;
  field.value = `${Math.round(value_mm)} mm`;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function onTap(event) {
  const figure = event.target.closest?.("[data-taps]");
  const drawing = event.target.closest?.("svg");
  const form = figure?.closest("form");
  if (!form || !drawing) return;
  const box = drawing.querySelector("path").getBoundingClientRect();
  const along = (event.clientX - box.left) / box.width;
  const across = (event.clientY - box.top) / box.height;
  if (Math.min(along, across) < 0 || Math.max(along, across) > 1) return;
  typed(form, figure.dataset.along, along * Number(figure.dataset.length));
  typed(form, figure.dataset.across, across * Number(figure.dataset.width));
}

export function startTaps() {
  document.addEventListener("click", onTap);
}
