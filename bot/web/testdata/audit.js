// audit returns what is wrong with the page for people who do not see it as it was drawn, or do not use a pointer.
// It is an expression: a function of the page that returns a list of sentences.
(() => {
  const wrong = [];
  const visible = (n) => n.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && n.getClientRects().length > 0;
  const all = (selector) => [...document.querySelectorAll(selector)];
  const told = (n) => `<${n.tagName.toLowerCase()} id="${n.id}" class="${n.className}"> ${(n.textContent || '').trim().slice(0, 40)}`;

  // Names of controls.
  const nameOf = (n) => {
    if (n.getAttribute('aria-label')) return n.getAttribute('aria-label');
    const by = n.getAttribute('aria-labelledby');
    if (by) return by.split(' ').map((id) => document.getElementById(id)?.textContent || '').join(' ').trim();
    if (n.labels && n.labels.length) return n.labels[0].textContent.trim();
    if (['BUTTON', 'A', 'SUMMARY'].includes(n.tagName)) return n.textContent.trim();
    return '';
  };
  for (const n of all('button, a[href], summary, textarea, select, input:not([type=hidden])')) {
    if (visible(n) && !nameOf(n)) wrong.push('no name: ' + told(n));
  }
  for (const n of all('img')) if (!n.hasAttribute('alt')) wrong.push('no alt: ' + n.src);

  // Landmarks and headings.
  if (all('main').length !== 1) wrong.push(all('main').length + ' main landmarks');
  if (all('body > header').length !== 1) wrong.push(all('body > header').length + ' banners');
  if (!document.documentElement.lang) wrong.push('the page does not say its language');
  if (!document.title.trim()) wrong.push('no title');
  const headings = all('h1, h2, h3, h4, h5, h6').filter(visible).map((h) => +h.tagName[1]);
  if (headings.filter((h) => h === 1).length !== 1) wrong.push(headings.filter((h) => h === 1).length + ' first headings');
  headings.forEach((h, i) => { if (i > 0 && h > headings[i - 1] + 1) wrong.push(`heading ${h} follows heading ${headings[i - 1]}`); });
  for (const n of all('nav, section[aria-labelledby]')) if (!nameOf(n)) wrong.push('no name: ' + told(n));
  const ids = all('[id]').map((n) => n.id);
  for (const id of new Set(ids.filter((x, i) => ids.indexOf(x) !== i))) wrong.push('id given twice: ' + id);
  for (const n of all('[aria-labelledby], [aria-describedby]')) {
    for (const id of [n.getAttribute('aria-labelledby'), n.getAttribute('aria-describedby')].join(' ').split(' ').filter(Boolean)) {
      if (!document.getElementById(id)) wrong.push('refers to nothing: ' + id);
    }
  }

  // Contrast: WCAG 2.2, success criterion 1.4.3: 4.5, or 3 for large text. Here 4.5 for all of it.
  const parse = (c) => { const m = c.match(/[\d.]+/g).map(Number); return [m[0], m[1], m[2], m.length > 3 ? m[3] : 1]; };
  const over = (a, b) => [0, 1, 2].map((i) => a[i] * a[3] + b[i] * (1 - a[3])).concat(1);
  const ground = (n) => {
    const layers = [];
    for (let x = n; x; x = x.parentElement) layers.push(parse(getComputedStyle(x).backgroundColor));
    let out = matchMedia('(prefers-color-scheme: dark)').matches ? [18, 18, 18, 1] : [255, 255, 255, 1];
    for (const layer of layers.reverse()) out = over(layer, out);
    return out;
  };
  const light = ([r, g, b]) => {
    const [x, y, z] = [r, g, b].map((v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  };
  const contrast = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const seen = new Set();
  let looked = 0;
  for (let t = walker.nextNode(); t; t = walker.nextNode()) {
    const n = t.parentElement;
    if (!t.textContent.trim() || seen.has(n) || !visible(n) || ['SCRIPT', 'NOSCRIPT'].includes(n.tagName)) continue;
    seen.add(n);
    looked++;
    const back = ground(n);
    const ratio = contrast(over(parse(getComputedStyle(n).color), back), back);
    if (ratio < 4.5) wrong.push(`contrast ${ratio.toFixed(2)}: ${told(n)}`);
  }
  if (looked < 2) wrong.push('only ' + looked + ' texts were looked at');

  // Width and targets: WCAG 2.2, success criteria 1.4.10 and 2.5.8.
  const page = document.documentElement;
  if (page.scrollWidth > page.clientWidth) {
    const wide = all('body *').filter((n) => visible(n) && n.getBoundingClientRect().right > page.clientWidth + 1 && getComputedStyle(n).position !== 'absolute');
    wrong.push(`the page is ${page.scrollWidth} wide in a window of ${page.clientWidth}: ${wide.slice(-1).map(told)}`);
  }
  for (const n of all('button, summary, select, input:not([type=hidden]), textarea')) {
    if (!visible(n)) continue;
    const box = n.getBoundingClientRect();
    if (box.height < 24 || box.width < 24) wrong.push(`a target of ${Math.round(box.width)} by ${Math.round(box.height)}: ${told(n)}`);
  }
  return wrong;
})
