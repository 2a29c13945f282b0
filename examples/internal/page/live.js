// The controls of a page: one form for each section, answered by the module.
(async () => {
  const loaded = performance.now();
  let wrong;
  try {
    const packed = Uint8Array.fromBase64 ? Uint8Array.fromBase64(fitgeomModule) : Uint8Array.from(atob(fitgeomModule), c => c.charCodeAt(0));
    const zip = new DecompressionStream('gzip'), into = zip.writable.getWriter();
    into.write(packed);
    into.close();
    const go = new Go();
    go.env = {GOGC: '400'}; // little is kept, so that 16 MB may be in use before it is looked through
    const wasm = await WebAssembly.instantiateStreaming(new Response(zip.readable, {headers: {'Content-Type': 'application/wasm'}}), go.importObject);
    go.run(wasm.instance);
  } catch (e) {
    wrong = e;
  }
  // The page may still be on its way, since the script does not wait for it.
  if (document.readyState === 'loading') await new Promise(done => addEventListener('DOMContentLoaded', done));
  const sections = document.querySelectorAll('section.live');
  const status = (s, text) => { s.querySelector('.status').textContent = text; };
  if (wrong) {
    for (const s of sections) status(s, 'This browser cannot run the controls.');
    return;
  }
  // The address keeps where the controls stand, if not where they stood at first.
  const kept = () => location.hash.startsWith('#set:') ? decodeURIComponent(location.hash.slice(5)) : '';
  for (const section of sections) {
    const docs = {};
    for (const d of section.querySelectorAll('script[data-name]')) docs[d.dataset.name] = JSON.parse(d.textContent);
    const scene = fitgeom(section.dataset.kind, docs);
    if (typeof scene === 'string') { status(section, scene.slice(1)); continue; }
    const controls = JSON.parse(scene.controls);
    const form = section.querySelector('form'), now = section.querySelector('.now'), settled = section.querySelector('.settled');
    const fields = {};
    for (const c of controls) {
      const id = section.dataset.kind + '-' + c.name;
      const label = Object.assign(document.createElement('label'), {htmlFor: id, textContent: c.label});
      const out = Object.assign(document.createElement('output'), {htmlFor: id});
      let field;
      if (c.choices.length) {
        field = document.createElement('select');
        c.choices.forEach((name, i) => field.add(new Option(name, i)));
      } else {
        field = Object.assign(document.createElement('input'), {type: 'range', min: c.from, max: c.to, step: 'any'});
        // Arrow keys go by the control's own step from wherever it stands.
        field.addEventListener('keydown', e => {
          const by = {ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10}[e.key];
          if (!by) return;
          e.preventDefault();
          const v = Math.min(c.to, Math.max(c.from, +field.value + by * c.step));
          field.value = Math.round(v * 1e6) / 1e6;
          field.dispatchEvent(new Event('input', {bubbles: true}));
        });
      }
      field.id = field.name = id;
      field.value = c.at;
      fields[c.name] = {field, out, c};
      const row = document.createElement('div');
      row.append(label, field, out);
      form.append(row);
    }
    const state = all => Object.entries(fields).filter(([, f]) => all || Math.abs(f.field.value - f.c.at) > 1e-9).map(([name, f]) => name + '=' + f.field.value).join('&');
    const show = (where, text) => {
      if (text.startsWith('!')) { status(section, text.slice(1)); where.classList.add('old'); return; }
      status(section, '');
      where.classList.remove('old');
      where.innerHTML = text;
    };
    // Until the module has once computed what moves need, which it does while the page has its
    // turn in between, the first move waits for it. moved: when what is not answered yet began.
    let cold = true, frame, timer, moved = 0;
    const ask = (what, where) => {
      const begun = performance.now();
      show(where, scene[what](state(true)));
      section.dataset[what] = (performance.now() - begun).toFixed(1);
      if (what === 'now') {
        section.dataset.waited ||= (performance.now() - moved).toFixed(1);
        section.dataset.moves = 1 + +(section.dataset.moves || 0);
        moved = 0;
      } else {
        section.dataset.slow ||= section.dataset.settled;
      }
    };
    const settle = () => {
      clearTimeout(timer);
      if (cold) return;
      if (moved) ask('now', now); // of a page that nobody sees no frame is drawn
      cancelAnimationFrame(frame);
      ask('settled', settled);
      const s = state(false);
      history.replaceState(null, '', s ? '#set:' + s : location.pathname + location.search);
    };
    const fixed = f => {
      const text = (+f.field.value).toFixed(Number.isInteger(f.c.step) ? 0 : 1);
      return +text === 0 ? text.replace('-', '') : text;
    };
    const label = () => {
      for (const f of Object.values(fields)) f.out.textContent = f.c.choices.length ? '' : fixed(f) + ' ' + f.c.unit;
    };
    const move = () => {
      label();
      moved ||= performance.now();
      cancelAnimationFrame(frame);
      frame = requestAnimationFrame(() => { if (!cold) ask('now', now); });
      clearTimeout(timer);
      settled.classList.add('old');
      timer = setTimeout(settle, 250);
    };
    const set = text => {
      for (const f of Object.values(fields)) f.field.value = f.c.at;
      for (const pair of text.split('&')) {
        const [name, value] = pair.split('=');
        const f = fields[name];
        if (f && value !== '' && +value >= f.c.from && +value <= f.c.to) f.field.value = value;
      }
      move();
    };
    form.addEventListener('input', move);
    form.addEventListener('submit', e => e.preventDefault());
    section.querySelector('.reset').addEventListener('click', () => set(''));
    section.querySelector('.copy').addEventListener('click', async () => {
      const text = scene.document(state(true)), box = section.querySelector('textarea');
      box.hidden = false;
      box.value = text;
      box.select();
      try { await navigator.clipboard.writeText(text); } catch { document.execCommand('copy'); }
      status(section, 'Copied. It is shown below too.');
    });
    addEventListener('hashchange', () => { if (kept()) set(kept()); });
    section.querySelector('.tools').hidden = false;
    status(section, '');
    label();
    if (kept()) set(kept()); // else what nothing moved answers is on show already
    section.dataset.loaded = loaded.toFixed(0);
    section.dataset.ready = performance.now().toFixed(0);
    const asked = state(true);
    setTimeout(() => scene.warm(asked, () => {
      if (!cold) {
        if (!moved) settle();
        return;
      }
      cold = false;
      section.dataset.first = performance.now().toFixed(0);
      if (moved) move();
    }));
  }
})();
