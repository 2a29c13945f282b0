// Returns what is wrong with the page that is open, for people who look at it.
(() => {
  const findings = [];
  const luminance = rgb => {
    const [r, g, b] = rgb.match(/[\d.]+/g).slice(0, 3).map(v => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (a, b) => {
    const [x, y] = [luminance(a), luminance(b)];
    return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
  };
  const overlap = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 0.5 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 0.5;
  {
    let labels = 0;
    const phone = innerWidth < 600;
    for (const svg of document.querySelectorAll('svg')) {
      const name = svg.querySelector('title')?.id ?? 'a figure without a title';
      const outer = svg.getBoundingClientRect();
      const paper = getComputedStyle(svg.querySelector('.paper')).fill;
      if (!phone && Math.abs(outer.width - svg.viewBox.baseVal.width) > 0.5) findings.push(name + ': not at the size that it states');
      const texts = [...svg.querySelectorAll('text')].map(t => ({s: t.textContent, box: t.getBoundingClientRect(), fill: getComputedStyle(t).fill}));
      texts.forEach((t, i) => {
        labels++;
        if (t.box.left < outer.left || t.box.right > outer.right || t.box.top < outer.top || t.box.bottom > outer.bottom) findings.push(`${name}: "${t.s}" leaves the figure`);
        // The least contrast of text, 4.5:1: WCAG 2, 1.4.3, contrast (minimum); from memory.
        if (contrast(t.fill, paper) < 4.5) findings.push(`${name}: "${t.s}" is too faint`);
        for (const u of texts.slice(0, i)) if (overlap(t.box, u.box)) findings.push(`${name}: "${t.s}" lies on "${u.s}"`);
      });
    }
    const page = document.documentElement, style = getComputedStyle(page);
    if (page.scrollWidth > innerWidth) findings.push('the page is wider than the window');
    const ids = [...document.querySelectorAll('[id]')].map(e => e.id);
    for (const id of ids.filter((id, i) => ids.indexOf(id) < i)) findings.push('two things are called ' + id);
    for (const h of document.querySelectorAll('h2')) if (!h.id) findings.push('no link can lead to ' + h.textContent);
    for (const e of document.querySelectorAll('input,select,button,textarea')) if (!e.labels?.length && !e.ariaLabel && !e.textContent.trim()) findings.push('no label on ' + e.outerHTML);
    for (const e of document.querySelectorAll('.scroll')) if (e.scrollWidth > e.clientWidth && e.tabIndex < 0) findings.push('a table that a keyboard cannot scroll');
    if (/%%|%!|NaN|undefined|\[object/.test(document.body.innerText)) findings.push('something that nobody should read');
    if (contrast(style.color, style.backgroundColor) < 7) findings.push('the text is too faint');
    return {findings, labels, figures: document.querySelectorAll('figure svg').length,
      dark: matchMedia('(prefers-color-scheme: dark)').matches && luminance(style.backgroundColor) < 0.1,
      height: page.scrollHeight};
  }
})()
