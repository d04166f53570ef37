"use strict";
(function () {
  const LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
  const page = JSON.parse(document.getElementById("page").textContent);
  const words = page.words;
  const at = (id) => document.getElementById(id);
  const fields = Array.from(document.querySelectorAll(".step input"));
  const notes = Array.from(document.querySelectorAll("textarea.note"));
  const state = { turn: 0, last: "" };
  let kept = true;

  // SHA-256 (FIPS 180-4) of an array of bytes; a page opened from a file may have no other.
  const cube = [], root = [];
  for (let n = 2; cube.length < 64; n++) {
    let prime = true;
    for (let d = 2; d * d <= n; d++) { if (n % d === 0) { prime = false; } }
    if (prime) {
      if (root.length < 8) { root.push((Math.pow(n, 1 / 2) * 4294967296) | 0); }
      cube.push((Math.pow(n, 1 / 3) * 4294967296) | 0);
    }
  }
  function sha256(bytes) {
    const data = bytes.concat([128]);
    while (data.length % 64 !== 56) { data.push(0); }
    const bits = bytes.length * 8;
    for (let k = 7; k >= 0; k--) { data.push(Math.floor(bits / Math.pow(256, k)) & 255); }
    const sum = root.slice();
    for (let from = 0; from < data.length; from += 64) {
      const w = [];
      for (let t = 0; t < 64; t++) {
        if (t < 16) {
          const k = from + 4 * t;
          w.push((data[k] << 24) | (data[k + 1] << 16) | (data[k + 2] << 8) | data[k + 3]);
        } else {
          const a = w[t - 15], b = w[t - 2];
          const s0 = turn(a, 7) ^ turn(a, 18) ^ (a >>> 3);
          const s1 = turn(b, 17) ^ turn(b, 19) ^ (b >>> 10);
          w.push((w[t - 16] + s0 + w[t - 7] + s1) | 0);
        }
      }
      let [a, b, c, d, e, f, g, h] = sum;
      for (let t = 0; t < 64; t++) {
        const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
        const one = (h + s1 + ((e & f) ^ (~e & g)) + cube[t] + w[t]) | 0;
        const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
        const two = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
        h = g; g = f; f = e; e = (d + one) | 0; d = c; c = b; b = a; a = (one + two) | 0;
      }
      [a, b, c, d, e, f, g, h].forEach((v, k) => { sum[k] = (sum[k] + v) | 0; });
    }
    const out = [];
    for (const one of sum) { for (const by of [24, 16, 8, 0]) { out.push((one >>> by) & 255); } }
    return out;
  }
  function turn(x, by) { return (x >>> by) | (x << (32 - by)); }

  function bytesOf(text) { return Array.from(new TextEncoder().encode(text)); }
  function letters(values) { return values.map((v) => LETTERS[v & 31]).join(""); }
  const secret = page.key.match(/../g).map((two) => parseInt(two, 16));

  // A score as it is typed: half points, null where nothing is, NaN where it is none.
  function points(text) {
    const plain = text.trim().replace(",", ".").replace("½", ".5");
    if (plain === "") { return null; }
    if (!/^\d{0,2}(\.\d*)?$/.test(plain) || plain === ".") { return NaN; }
    const twice = 2 * Number(plain);
    return Number.isInteger(twice) && twice <= 20 ? twice : NaN;
  }

  function answer(turns) {
    const plain = [Math.min(turns, 31)];
    for (const field of fields) {
      const twice = points(field.value);
      plain.push(twice === null || Number.isNaN(twice) ? 0 : twice + 1);
    }
    const said = notes.map((n) => n.value.replace(/[\u0000-\u001f\u007f]/g, " ").trim());
    let bits = "";
    for (const byte of bytesOf(said.join("\u001f").replace(/\u001f+$/, ""))) {
      bits += byte.toString(2).padStart(8, "0");
    }
    for (let k = 0; k < bits.length; k += 5) {
      plain.push(parseInt(bits.slice(k, k + 5).padEnd(5, "0"), 2));
    }
    const many = plain.length;
    const head = page.head + letters([many >> 10, many >> 5, many]);
    const check = letters(sha256(secret.concat(bytesOf("check" + head + letters(plain)))).slice(0, 8));
    const body = [];
    for (let block = 0; block * 32 < many; block++) {
      const stream = sha256(secret.concat(bytesOf("stream" + check + block)));
      for (let k = block * 32; k < Math.min(many, block * 32 + 32); k++) {
        body.push(plain[k] ^ (stream[k % 32] & 31));
      }
    }
    return "VATSIDE1-" + head + "-" + letters(body) + "-" + check;
  }

  // What was typed stays when the page is left: in the browser, else in the page's own address.
  const place = "vatside " + page.head + page.key.slice(0, 8);
  function keep() {
    const text = JSON.stringify(
      { turn: state.turn, last: state.last, given: fields.map((f) => f.value), notes: notes.map((n) => n.value) });
    try { localStorage.setItem(place, text); kept = true; return; } catch (e) { kept = false; }
    try { history.replaceState(null, "", "#" + encodeURIComponent(text)); kept = true; } catch (e) { kept = false; }
  }
  function recall() {
    let text = null;
    try { text = localStorage.getItem(place); } catch (e) { text = null; }
    try {
      const held = JSON.parse(text || decodeURIComponent(location.hash.slice(1)) || "null");
      if (!held) { return; }
      state.turn = Number(held.turn) || 0;
      state.last = String(held.last || "");
      fields.forEach((f, k) => { f.value = String(held.given[k] || ""); });
      notes.forEach((n, k) => { n.value = String(held.notes[k] || ""); });
    } catch (e) { return; }
  }

  function show() {
    let done = 0, wrong = 0;
    for (const field of fields) {
      const twice = points(field.value);
      const bad = Number.isNaN(twice);
      field.setAttribute("aria-invalid", String(bad));
      at(field.id + "w").textContent = bad ? words.wrong : "";
      if (bad) { wrong++; } else if (twice !== null) { done++; }
    }
    at("far").textContent = words.far.replace("{done}", done).replace("{all}", fields.length);
    return { done: done, wrong: wrong };
  }
  function changed() {
    at("answer").hidden = true;
    show();
    keep();
    at("forgets").hidden = kept;
  }

  function finish() {
    const found = show();
    const bad = fields.find((f) => f.getAttribute("aria-invalid") === "true");
    if (bad) { bad.focus(); return; }
    const left = fields.length - found.done;
    if (found.done === 0 && notes.every((n) => n.value.trim() === "")) {
      at("far").textContent = words.nothing;
      return;
    }
    if (state.last === "" || answer(state.turn) !== state.last) {
      state.turn++;
      state.last = answer(state.turn);
    }
    keep();
    at("line").value = state.last;
    at("left").textContent = left ? words.left.replace("{left}", left) : words.whole;
    at("told").textContent = "";
    at("answer").hidden = false;
    at("heading").focus();
    at("answer").scrollIntoView();
  }
  function copy() {
    at("line").focus();
    at("line").select();
    let done = false;
    try { done = document.execCommand("copy"); } catch (e) { done = false; }
    at("told").textContent = done ? words.copied : words.select;
  }
  function save() {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([state.last + "\n"], { type: "text/plain" }));
    link.download = page.file;
    link.click();
    at("told").textContent = words.saved.replace("{file}", page.file);
  }

  fields.forEach((field, k) => {
    const step = (by) => {
      const twice = points(field.value);
      const next = twice === null || Number.isNaN(twice) ? 10 : Math.max(0, Math.min(20, twice + by));
      field.value = String(next / 2);
      changed();
    };
    field.previousElementSibling.addEventListener("click", () => step(-1));
    field.nextElementSibling.addEventListener("click", () => step(1));
    field.addEventListener("input", changed);
    field.addEventListener("keydown", (event) => {
      if (event.key === "ArrowUp" || event.key === "ArrowDown") {
        step(event.key === "ArrowUp" ? 1 : -1);
        event.preventDefault();
      } else if (event.key === "Enter") {
        (fields[k + 1] || at("finish")).focus();
        event.preventDefault();
      }
    });
  });
  notes.forEach((note) => note.addEventListener("input", changed));
  at("finish").addEventListener("click", finish);
  at("copy").addEventListener("click", copy);
  at("save").addEventListener("click", save);
  at("send").hidden = !navigator.share;
  at("send").addEventListener("click", () => {
    navigator.share({ text: state.last }).catch(() => { at("told").textContent = words.select; });
  });
  window.addEventListener("beforeunload", (event) => {
    if (!kept) { event.preventDefault(); event.returnValue = ""; }
  });
  recall();
  show();
  at("forgets").hidden = true;
})();
