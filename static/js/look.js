// Small comforts. Every page works the same without this file.
"use strict";

// The list of refusals takes the focus, so that it is read first.
const refusals = document.querySelector("[data-refusals]");
if (refusals) {
  refusals.focus();
}

// A link to a part of the case opens it, and whatever it is folded into.
function openTarget() {
  const name = decodeURIComponent(window.location.hash.slice(1));
  const target = name && document.getElementById(name);
  if (!target) {
    return;
  }
  const own = target.matches("details") ? target : target.querySelector(":scope > details");
  if (own) {
    own.open = true;
  }
  for (let folded = target.closest("details"); folded; ) {
    folded.open = true;
    folded = folded.parentElement.closest("details");
  }
  target.scrollIntoView();
}
window.addEventListener("hashchange", openTarget);
openTarget();

// A second press of the same button while the first is on its way does nothing. It counts again
// after a few seconds, because an answer that is a file leaves the page standing.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") {
    return;
  }
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  window.setTimeout(() => delete form.dataset.sent, 4000);
});
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) {
    delete form.dataset.sent;
  }
});

// A printed page shows the folded parts as well.
window.addEventListener("beforeprint", () => {
  for (const folded of document.querySelectorAll("details:not([open])")) {
    folded.dataset.folded = "yes";
    folded.open = true;
  }
});
window.addEventListener("afterprint", () => {
  for (const folded of document.querySelectorAll("details[data-folded]")) {
    delete folded.dataset.folded;
    folded.open = false;
  }
});

// The arrow keys walk along an arch whose teeth are links; there is one tab stop.
for (const arch of document.querySelectorAll("svg.arch")) {
  const teeth = [...arch.querySelectorAll("a.tooth")];
  teeth.forEach((tooth, place) => tooth.setAttribute("tabindex", place === 0 ? "0" : "-1"));
  arch.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    const place = teeth.indexOf(document.activeElement);
    if (!step || place < 0) {
      return;
    }
    const next = teeth[(place + step + teeth.length) % teeth.length];
    teeth[place].setAttribute("tabindex", "-1");
    next.setAttribute("tabindex", "0");
    next.focus();
    event.preventDefault();
  });
}
