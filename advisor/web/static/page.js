// Small comforts; every form works without them.
"use strict";
(() => {
  const HEAD = { "X-Part": "1" };
  const byId = (id) => document.getElementById(id);

  const put = (into, html) => {
    const level = (part) => part.querySelector(".safety")?.dataset.level;
    const before = level(into);
    into.innerHTML = html;
    // what changed for safety is read first
    const alarm = level(into) !== before && into.querySelector(".safety");
    const told = into.querySelector(".problem[data-focus]") || alarm || into.querySelector("[data-focus]");
    if (!told) return;
    told.focus({ preventScroll: true });
    told.scrollIntoView({ block: "start" });
  };

  const fail = (into, text) => {
    let box = into.querySelector(".said");
    if (!box) { box = document.createElement("p"); box.className = "said"; box.setAttribute("role", "alert"); into.prepend(box); }
    box.textContent = text;
    box.scrollIntoView({ block: "center" });
  };

  // A form with data-into sends itself and puts the reply into that part of the page.
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    const into = form.dataset.into && byId(form.dataset.into);
    if (!into) return;
    event.preventDefault();
    if (into.dataset.busy) return;
    into.dataset.busy = "1";
    into.setAttribute("aria-busy", "true");
    const data = new FormData(form, event.submitter);
    const body = form.enctype === "multipart/form-data" ? data : new URLSearchParams(data);
    try {
      const reply = await fetch(form.action, { method: "POST", body, headers: HEAD });
      if (reply.redirected) { location.assign(reply.url); return; }
      const text = await reply.text();
      if (reply.status >= 500) fail(into, "Not saved: something went wrong. Please try again.");
      else put(into, text);
    } catch {
      fail(into, "Not saved: no connection. Your answer is still on this page; press it again.");
    } finally {
      delete into.dataset.busy;
      into.removeAttribute("aria-busy");
    }
  });

  // A form with data-live shows what its fields say while they are filled in.
  const live = (form) => {
    const into = byId(form.dataset.liveInto);
    let timer = 0, latest = 0;
    form.addEventListener("input", () => {
      clearTimeout(timer);
      timer = setTimeout(async () => {
        const mine = ++latest;
        try {
          const body = new URLSearchParams(new FormData(form));
          const reply = await fetch(form.dataset.live, { method: "POST", body, headers: HEAD });
          const text = await reply.text();
          if (mine === latest && reply.ok) into.innerHTML = text;
        } catch { /* the button still works */ }
      }, 350);
    });
  };
  document.querySelectorAll("form[data-live]").forEach(live);

  // Enter in the clock face goes on to the next position instead of sending the form.
  document.querySelectorAll(".clock input").forEach((field, n, all) => {
    field.addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      (all[n + 1] || field.form.querySelector("button.main")).focus();
    });
  });

  // A file may be dropped on its form.
  document.querySelectorAll(".drop").forEach((box) => {
    const field = box.querySelector("input[type=file]");
    const over = (event) => { event.preventDefault(); box.classList.add("over"); };
    box.addEventListener("dragenter", over);
    box.addEventListener("dragover", over);
    box.addEventListener("dragleave", () => box.classList.remove("over"));
    box.addEventListener("drop", (event) => {
      event.preventDefault();
      box.classList.remove("over");
      if (!event.dataTransfer.files.length) return;
      field.files = event.dataTransfer.files;
      field.dispatchEvent(new Event("change"));
    });
  });

  // What was chosen is counted before it is sent; of a folder only what can be read is sent.
  const choosers = [...document.querySelectorAll("input[data-most-files]")];
  const readable = (field) => {
    const endings = field.dataset.endings?.split(" ");
    if (!endings) return;
    const kept = new DataTransfer();
    for (const file of field.files) {
      const path = file.webkitRelativePath || file.name;
      const hidden = path.split("/").some((part) => part.startsWith("."));
      if (!hidden && endings.some((ending) => path.toLowerCase().endsWith(ending))) kept.items.add(file);
    }
    field.files = kept.files;
  };
  const count = () => {
    const files = choosers.flatMap((field) => [...field.files]);
    const mb = files.reduce((sum, file) => sum + file.size, 0) / 1e6;
    const { mostFiles, mostMb } = choosers[0].dataset;
    const over = files.length > mostFiles || mb > mostMb;
    const text = over ? `Too much at once: at most ${mostFiles} files and ${mostMb} MB.` : "";
    choosers.forEach((field) => field.setCustomValidity(text));
    const told = `${files.length} ${files.length === 1 ? "file" : "files"}, ${mb.toFixed(1)} MB. ${text}`;
    byId("chosen").textContent = files.length ? told : "";
  };
  choosers.forEach((field) => field.addEventListener("change", () => { readable(field); count(); }));

  document.querySelectorAll("[data-print]").forEach((button) => {
    button.hidden = false;
    button.addEventListener("click", () => window.print());
  });
  document.documentElement.dataset.script = "on";
})();
