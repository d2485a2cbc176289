// Search over PAGES (search-index.js): every word typed must begin some word of a page.
"use strict";

const fold = (text) => text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "");
const split = (text) => fold(text).split(/[^\p{L}\p{N}]+/u).filter(Boolean);

const READY = PAGES.map(([title, address, note, words]) => ({
  title, address, note, heads: split(title), others: split(`${note} ${words}`),
}));

function weight(page, word) {
  if (page.heads.includes(word)) return 8;
  if (page.heads.some((w) => w.startsWith(word))) return 5;
  if (page.others.includes(word)) return 2;
  return page.others.some((w) => w.startsWith(word)) ? 1 : 0;
}

function find(text) {
  const words = split(text);
  if (!words.length) return null;
  return READY
    .map((page) => ({page, each: words.map((word) => weight(page, word))}))
    .filter(({each}) => each.every(Boolean))
    .map(({page, each}) => ({page, sum: each.reduce((a, b) => a + b, 0)}))
    .sort((a, b) => b.sum - a.sum || a.page.title.localeCompare(b.page.title));
}

function line({page}) {
  const item = document.createElement("li");
  const link = document.createElement("a");
  const note = document.createElement("small");
  link.href = page.address;
  link.textContent = page.title;
  note.textContent = page.note;
  item.append(link, note);
  return item;
}

function show() {
  const found = find(box.value);
  list.hidden = !found;
  all.hidden = Boolean(found);
  list.replaceChildren(...(found || []).map(line));
  if (!found) count.textContent = "Type a word: a fault, a part, a metal, a tool.";
  else if (!found.length) count.textContent = "No page has all these words. Try fewer, or shorter ones.";
  else count.textContent = found.length === 1 ? "1 page" : `${found.length} pages`;
}

const box = document.getElementById("q");
const list = document.getElementById("found");
const all = document.getElementById("all");
const count = document.getElementById("count");
box.value = new URLSearchParams(location.search).get("q") || "";
box.addEventListener("input", show);
box.form.addEventListener("submit", (event) => { event.preventDefault(); show(); });
show();
if (!box.value) box.focus();
