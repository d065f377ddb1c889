// The teeth of a pass by keyboard: arrows walk along the arch, a typed number goes to its tooth,
// and the first letter of light, firm or heavy marks it so. The page works the same without this
// file, tooth by tooth with the tabulator key.
"use strict";

const form = document.querySelector("form.foil");
if (form) {
  const rows = ["upper", "lower"].map((arch) => [
    ...form.querySelectorAll(`.foil-row.${arch} input[name=teeth]`),
  ]);
  const teeth = rows.flat();
  const none = form.querySelector("[name=none]");
  const count = form.querySelector(".foil-count");

  function told() {
    const marked = teeth.filter((tooth) => tooth.checked).length;
    count.textContent = marked ? ` (${marked})` : "";
    if (marked) {
      none.checked = false;
    }
  }

  // One tab stop for the arch; what is asked of a tapped tooth follows it.
  function stopAt(tooth) {
    teeth.forEach((one) => one.setAttribute("tabindex", one === tooth ? "0" : "-1"));
  }

  // The tooth of the other row that stands nearest.
  function opposite(tooth) {
    const from = tooth.closest(".tooth").querySelector("label").getBoundingClientRect();
    const away = (one) =>
      Math.abs(one.closest(".tooth").querySelector("label").getBoundingClientRect().x - from.x);
    const side = tooth.closest(".foil-side");
    const other = rows.find((row) => !row.includes(tooth));
    const near = other.filter((one) => one.closest(".foil-side") === side);
    return (near.length ? near : other).reduce((a, b) => (away(b) < away(a) ? b : a), tooth);
  }

  // Numbers as they stand on the keys: of two digits typed one after the other, or of one.
  const numbered = new Map(
    teeth.map((tooth) => [tooth.labels[0].querySelector("span").textContent.trim(), tooth]),
  );
  let typed = "";
  let typedAt = 0;
  function toNumber(digit, now) {
    typed = now - typedAt < 1500 ? typed.slice(-1) + digit : digit;
    typedAt = now;
    return numbered.get(typed) || numbered.get(digit);
  }

  const strengths = { l: "light", f: "firm", h: "heavy" };
  const steps = { ArrowRight: 1, ArrowLeft: -1 };
  form.addEventListener("keydown", (event) => {
    const tooth = event.target;
    if (tooth.name !== "teeth" || event.ctrlKey || event.metaKey || event.altKey) {
      return;
    }
    if (event.key.toLowerCase() in strengths) {
      const said = strengths[event.key.toLowerCase()];
      tooth.checked = true;
      form.querySelector(`[name=strength_${tooth.value}][value=${said}]`).checked = true;
      told();
    } else if (/^\d$/.test(event.key)) {
      const next = toNumber(event.key, event.timeStamp);
      if (next) {
        stopAt(next);
        next.focus();
      }
    } else if (event.key in steps || event.key === "ArrowUp" || event.key === "ArrowDown") {
      const row = rows.find((one) => one.includes(tooth));
      const next =
        event.key in steps ? row[row.indexOf(tooth) + steps[event.key]] : opposite(tooth);
      if (next) {
        stopAt(next);
        next.focus();
      }
    } else {
      return;
    }
    event.preventDefault();
  });
  form.addEventListener("change", (event) => {
    if (event.target === none && none.checked) {
      teeth.forEach((tooth) => (tooth.checked = false));
    }
    if (event.target.name === "teeth") {
      stopAt(event.target);
    }
    told();
  });
  stopAt(teeth.find((tooth) => tooth.checked) || teeth[0]);
  window.addEventListener("pageshow", told);
}
