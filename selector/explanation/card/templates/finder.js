"use strict";
(() => {
  const page = document.documentElement;
  const texts = JSON.parse(page.dataset.finder);
  const today = new Date();
  const iso = [today.getFullYear(), today.getMonth() + 1, today.getDate()]
    .map((n) => String(n).padStart(2, "0")).join("-");
  const over = iso > page.dataset.until ? texts.expired : iso < page.dataset.since ? texts.early : "";
  if (over) {
    const note = document.getElementById("over");
    note.textContent = over;
    note.hidden = false;
  }
  const finder = document.getElementById("finder");
  const entries = [...document.querySelectorAll(".change")];
  if (!finder || !entries.length) return;
  const input = finder.querySelector("input");
  const status = document.getElementById("status");
  const groups = [...document.querySelectorAll(".group")];
  const plain = (text) => text.toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f]/g, "");
  const known = entries.map((entry) => plain(entry.textContent + " " + entry.dataset.names));
  const find = () => {
    const words = plain(input.value).split(/\s+/).filter(Boolean);
    let shown = 0;
    entries.forEach((entry, i) => {
      const fits = words.every((word) => known[i].includes(word));
      entry.hidden = !fits;
      shown += fits;
    });
    groups.forEach((group) => {
      group.hidden = !group.querySelector(".change:not([hidden])");
    });
    if (!words.length) status.textContent = texts.all;
    else status.textContent = shown ? texts.shown.replace("{n}", shown) : texts.none;
    status.className = words.length && !shown ? "word" : "";
  };
  input.addEventListener("input", find);
  finder.hidden = false;
  find();
})();
