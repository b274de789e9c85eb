"use strict";
(function () {
  const job = JSON.parse(document.getElementById("job").textContent);
  const at = (id) => document.getElementById(id);
  const grades = ["sound", "doubtful", "broken"];

  // Layers of drawings.
  for (const box of document.querySelectorAll("input[data-drawing]")) {
    const figure = at(box.dataset.drawing);
    const show = () => {
      for (const layer of figure.querySelectorAll('svg [data-layer="' + box.dataset.layer + '"]')) {
        if (box.checked) layer.removeAttribute("display");
        else layer.setAttribute("display", "none");
      }
    };
    box.addEventListener("change", show);
    show();
  }

  // Paper has no folds: what holds figures is opened for it and closed again after it. The working under each figure
  // stays as the reader left it, or a roof would take fifty pages.
  let opened = [];
  addEventListener("beforeprint", () => {
    opened = [...document.querySelectorAll("details.block:not([open]):not(.working)")];
    for (const fold of opened) fold.open = true;
  });
  addEventListener("afterprint", () => {
    for (const fold of opened) fold.open = false;
    opened = [];
  });

  // The tally: lines that are only ever added to, as the library keeps them.
  let lines = new Map();
  let isKept = true;
  let isSaved = true;
  let editing = null;

  const valid = (line) =>
    line !== null && typeof line === "object" && typeof line.id === "string" && line.id.trim() !== "" &&
    typeof line.unit === "string" && grades.includes(line.grade) &&
    Number.isInteger(line.count) && line.count >= 0 && line.count <= 1e9 &&
    (line.who === undefined || typeof line.who === "string") &&
    (line.time === undefined || typeof line.time === "string") &&
    (line.corrects === undefined || line.corrects === null || (typeof line.corrects === "string" && line.corrects !== line.id));

  const known = (line) => {
    const kept = { id: line.id, who: line.who || "", unit: line.unit, grade: line.grade, count: line.count, time: line.time || "" };
    if (typeof line.corrects === "string") kept.corrects = line.corrects;
    return kept;
  };

  // Takes lines in; one that is there already changes nothing. Returns how many were new and how many were refused.
  const take = (text) => {
    let fresh = 0, refused = 0;
    for (const row of text.split("\n")) {
      if (row.trim() === "") continue;
      let line = null;
      try { line = JSON.parse(row); } catch { refused += 1; continue; }
      if (!valid(line)) { refused += 1; continue; }
      const mine = lines.get(line.id), theirs = known(line);
      if (mine === undefined) { lines.set(line.id, theirs); fresh += 1; }
      else if (JSON.stringify(mine) !== JSON.stringify(theirs)) refused += 1;
    }
    return { fresh, refused };
  };

  const written = () => [...lines.values()].map((line) => JSON.stringify(line) + "\n").join("");

  const stored = () => { try { return localStorage.getItem(job.key) || ""; } catch { isKept = false; return ""; } };
  const store = () => {
    take(stored());
    try { localStorage.setItem(job.key, written()); isKept = localStorage.getItem(job.key) !== null; }
    catch { isKept = false; }
  };

  // The line at which corrections end; null if they go round.
  const rootOf = (line) => {
    const walked = new Set();
    while (line.corrects !== undefined && lines.has(line.corrects)) {
      if (walked.has(line.id)) return null;
      walked.add(line.id);
      line = lines.get(line.corrects);
    }
    return line.id;
  };

  // The lines that hold: of each chain the one that none corrects, the latest if there are several.
  const standing = () => {
    const corrected = new Set([...lines.values()].map((line) => line.corrects).filter((id) => id !== undefined));
    const latest = new Map();
    for (const line of lines.values()) {
      const root = rootOf(line);
      if (root === null || corrected.has(line.id)) continue;
      const other = latest.get(root);
      if (other === undefined || line.time > other.time || (line.time === other.time && line.id > other.id)) latest.set(root, line);
    }
    return latest;
  };

  const groupOf = (root) => root.replace(/-(sound|doubtful|broken)$/, "");

  const groups = () => {
    const all = new Map();
    for (const [root, line] of standing()) {
      const key = groupOf(root);
      if (!all.has(key)) all.set(key, { key, who: line.who, unit: line.unit, of: {} });
      const group = all.get(key);
      group.who = line.who; group.unit = line.unit;
      group.of[line.grade] = line;
    }
    return [...all.values()].filter((group) => grades.some((grade) => group.of[grade] && group.of[grade].count > 0));
  };

  const cell = (row, text, name) => {
    const made = document.createElement("td");
    made.textContent = text;
    if (name) made.className = name;
    row.append(made);
    return made;
  };

  const numberOf = (group, grade) => (group.of[grade] ? group.of[grade].count : 0);

  const draw = () => {
    const sums = new Map();
    const list = at("tally-list");
    list.replaceChildren();
    const all = groups();
    for (const group of all) {
      const sum = sums.get(group.unit) || [0, 0, 0];
      grades.forEach((grade, place) => { sum[place] += numberOf(group, grade); });
      sums.set(group.unit, sum);
      const row = document.createElement("tr");
      const unit = job.units.find((one) => one.unit === group.unit);
      const name = cell(row, group.who.slice(0, 80) || "(no name)");
      const under = document.createElement("div");
      under.className = "soft";
      under.textContent = (unit ? unit.name : group.unit).slice(0, 120);
      name.append(under);
      for (const grade of grades) cell(row, String(numberOf(group, grade)), "n");
      const acts = cell(row, "");
      for (const [word, act] of [["Change", () => change(group)], ["Withdraw", () => withdraw(group)]]) {
        const button = document.createElement("button");
        button.type = "button";
        button.className = "plain";
        button.textContent = word;
        button.setAttribute("aria-label", word + " the count of " + (group.who.slice(0, 80) || "no name"));
        button.addEventListener("click", act);
        acts.append(button, " ");
      }
      list.append(row);
    }
    at("tally-counted").hidden = all.length === 0;
    let short = 0;
    job.units.forEach((unit, place) => {
      const sum = sums.get(unit.unit) || [0, 0, 0];
      const lost = unit.salvaged > 0 ? Math.ceil(sum[0] * unit.lost / unit.salvaged) : 0;
      const still = Math.max(0, unit.short - (sum[0] - lost));
      short += still;
      at("sound-" + place).textContent = String(sum[0]);
      at("still-" + place).textContent = String(still);
    });
    at("tally-said").dataset.short = String(short);
    at("tally-text").value = written();
    at("tally-warning").hidden = isKept;
    at("tally-save").disabled = lines.size === 0;
  };

  const say = (text) => { at("tally-said").textContent = text; };
  const two = (n) => String(n).padStart(2, "0");
  const now = () => {
    const d = new Date();
    return d.getFullYear() + "-" + two(d.getMonth() + 1) + "-" + two(d.getDate()) + "T" + two(d.getHours()) + ":" + two(d.getMinutes()) + ":" + two(d.getSeconds());
  };
  const drawn = () => {
    const bytes = new Uint8Array(6);
    (self.crypto || { getRandomValues: (a) => { for (let i = 0; i < a.length; i++) a[i] = Math.random() * 256; } }).getRandomValues(bytes);
    return "p" + [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
  };
  const correctionId = (line) => {
    let n = 1;
    const base = rootOf(line) || line.id;
    while (lines.has(base + "-c" + n)) n += 1;
    return base + "-c" + n + "-" + drawn().slice(1, 5);
  };
  const add = (line) => { lines.set(line.id, line); isSaved = false; };

  const withdraw = (group) => {
    for (const grade of grades) {
      const line = group.of[grade];
      if (line && line.count > 0) add({ ...known(line), id: correctionId(line), count: 0, time: now(), corrects: line.id });
    }
    store(); draw();
    say("Withdrawn: " + (group.who.slice(0, 80) || "no name"));
  };

  const change = (group) => {
    editing = group;
    at("tally-who").value = group.who;
    at("tally-unit").value = group.unit;
    for (const grade of grades) at("tally-" + grade).value = String(numberOf(group, grade));
    at("tally-add").textContent = "Save the change";
    at("tally-who").focus();
  };

  const read = (grade) => {
    const text = at("tally-" + grade).value.trim();
    if (text === "") return 0;
    return /^[0-9]{1,7}$/.test(text) ? Number(text) : null;
  };

  at("tally-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const counts = grades.map(read);
    const bad = grades.filter((_, place) => counts[place] === null);
    if (bad.length > 0) { say("Not added: " + bad.join(", ") + " must be a whole number from 0"); at("tally-" + bad[0]).focus(); return; }
    const who = at("tally-who").value.trim().slice(0, 80), unit = at("tally-unit").value, time = now();
    if (editing === null && counts.every((count) => count === 0)) { say("Not added: every count is 0"); return; }
    const key = editing === null ? drawn() : editing.key;
    grades.forEach((grade, place) => {
      const before = editing === null ? undefined : editing.of[grade];
      if (before) {
        if (before.count !== counts[place] || before.unit !== unit || before.who !== who) {
          add({ id: correctionId(before), who, unit, grade, count: counts[place], time, corrects: before.id });
        }
      } else if (counts[place] > 0) {
        const id = lines.has(key + "-" + grade) ? drawn() + "-" + grade : key + "-" + grade;
        add({ id, who, unit, grade, count: counts[place], time });
      }
    });
    editing = null;
    at("tally-add").textContent = "Add the count";
    for (const grade of grades) at("tally-" + grade).value = "";
    at("tally-who").value = "";
    store(); draw();
    say("Counted: " + counts[0] + " sound, " + counts[1] + " doubtful, " + counts[2] + " broken");
    at("tally-who").focus();
  });

  at("tally-save").addEventListener("click", () => {
    const link = document.createElement("a");
    const address = URL.createObjectURL(new Blob([written()], { type: "application/octet-stream" }));
    link.href = address;
    link.download = job.file;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 10000);
    isSaved = true;
    say("Saved as " + job.file);
  });

  at("tally-open").addEventListener("change", (event) => {
    const file = event.target.files[0];
    if (!file) return;
    const reader = new FileReader();
    reader.addEventListener("load", () => {
      const { fresh, refused } = take(String(reader.result));
      store(); draw();
      say("Read: " + fresh + " new lines" + (refused > 0 ? ", " + refused + " that cannot be read or say something else than is here" : ""));
      event.target.value = "";
    });
    reader.addEventListener("error", () => say("The file cannot be read"));
    reader.readAsText(file);
  });

  addEventListener("storage", (event) => { if (event.key === job.key && event.newValue) { take(event.newValue); draw(); } });
  addEventListener("beforeunload", (event) => { if (!isKept && !isSaved && lines.size > 0) event.preventDefault(); });

  take(stored());
  store();
  draw();
  document.documentElement.dataset.ready = "yes";
})();
