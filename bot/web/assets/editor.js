// The sheet is checked while it is typed: its lines are numbered, those with messages are marked, and the messages stand
// beside their lines (below the sheet on a phone).

import { el } from './dom.js';

const pause = 350; // ms without a key before the sheet is checked

// place puts remarks beside their lines without overlapping: tops and heights in pixels, in order; returns the tops.
export function place(tops, heights, gap) {
  const out = [];
  let free = 0;
  tops.forEach((top, i) => {
    const at = Math.max(top, free);
    out.push(at);
    free = at + heights[i] + gap;
  });
  return out;
}

// offset returns where line begins in text, counting lines from 1; with a column, counted in code points from 1.
export function offset(text, line, column) {
  let at = 0;
  for (let n = 1; n < line; n++) {
    const next = text.indexOf('\n', at);
    if (next < 0) return text.length;
    at = next + 1;
  }
  const end = text.indexOf('\n', at) < 0 ? text.length : text.indexOf('\n', at);
  const points = [...text.slice(at, end)].slice(0, Math.max(0, (column || 1) - 1));
  return at + points.join('').length;
}

// unsaved keeps a sheet that was typed but never sent in, for the date of its page.
function unsaved(date) {
  const slot = 'tallybell.sheet.' + date;
  const safely = (f) => {
    try {
      return f();
    } catch {
      return null;
    }
  };
  return {
    read: () => safely(() => localStorage.getItem(slot)),
    keep: (text) => safely(() => localStorage.setItem(slot, text)),
    drop: () => safely(() => localStorage.removeItem(slot)),
  };
}

export function startEditor() {
  const by = (id) => document.getElementById(id);
  const desk = by('desk'), sheet = by('sheet'), gutter = by('gutter'), bands = by('bands'), remarks = by('remarks');
  const verdict = by('verdict'), preview = by('preview'), listing = by('checked');
  const form = sheet.form;
  const date = form.getAttribute('action').split('/').pop();
  const spare = unsaved(date);
  const given = sheet.value;
  let problems = [];
  let timer = 0;
  let asked = 0;

  desk.classList.add('live');
  by('check').hidden = true;
  if (listing) listing.hidden = true;
  const step = () => parseFloat(getComputedStyle(gutter).lineHeight) || 24;
  const start = () => parseFloat(getComputedStyle(sheet).paddingTop) || 0;

  function worst(line) {
    const here = problems.filter((p) => p.line === line);
    if (here.some((p) => !p.warning)) return 'bad';
    return here.length ? 'mind' : '';
  }

  function draw() {
    const count = sheet.value.split('\n').length;
    sheet.rows = Math.max(matchMedia('(max-width: 40rem)').matches ? 8 : 24, count + 1);
    gutter.replaceChildren(...Array.from({ length: count }, (_, i) => el('span', { class: worst(i + 1) }, String(i + 1))));
    const marked = [...new Set(problems.map((p) => p.line))];
    bands.replaceChildren(...marked.map((line) => {
      const band = el('span', { class: worst(line) });
      band.style.top = start() + (line - 1) * step() + 'px';
      return band;
    }));
  }

  function tell() {
    remarks.replaceChildren(...problems.map((p) => {
      const button = el('button', { type: 'button', class: p.warning ? 'mind' : 'bad', 'data-line': p.line },
        el('strong', {}, `${p.warning ? 'Warning' : 'Error'}, line ${p.line}: `), p.message);
      button.addEventListener('click', () => {
        const at = offset(sheet.value, p.line, p.column);
        sheet.focus();
        sheet.setSelectionRange(at, at);
      });
      return button;
    }));
    settle();
  }

  function settle() {
    const buttons = [...remarks.children];
    const beside = buttons.length > 0 && getComputedStyle(buttons[0]).position === 'absolute';
    if (!beside) {
      desk.style.minHeight = '';
      return;
    }
    const tops = place(problems.map((p) => start() + (p.line - 1) * step()), buttons.map((b) => b.offsetHeight), 4);
    buttons.forEach((b, i) => { b.style.top = tops[i] + 'px'; });
    const last = buttons.length - 1;
    desk.style.minHeight = tops[last] + buttons[last].offsetHeight + 8 + 'px';
  }

  async function check() {
    const turn = ++asked;
    let found;
    try {
      const response = await fetch('/coach/check?date=' + date, { method: 'POST', headers: { 'Content-Type': 'text/plain; charset=utf-8' }, body: sheet.value });
      if (!response.ok) throw new Error('status ' + response.status);
      found = await response.json();
    } catch {
      if (turn === asked) verdict.textContent = 'The sheet cannot be checked just now. What you type is kept on this device.';
      return;
    }
    if (turn !== asked) return; // more was typed meanwhile
    problems = found.problems || [];
    verdict.textContent = found.verdict;
    verdict.classList.toggle('bad', found.errors > 0);
    preview.textContent = found.preview || 'Nothing to show until the sheet has no errors.';
    draw();
    tell();
  }

  function typed() {
    draw();
    settle();
    spare.keep(sheet.value);
    clearTimeout(timer);
    timer = setTimeout(check, pause);
  }

  function offerSpare() {
    const kept = spare.read();
    if (kept === given) spare.drop();
    if (kept === null || kept === given || kept.trim() === '') return;
    const button = el('button', { type: 'button', class: 'quiet' }, 'Bring back what you typed here before and did not store');
    button.addEventListener('click', () => {
      sheet.value = kept;
      button.remove();
      typed();
      sheet.focus();
    });
    form.prepend(button);
  }

  sheet.addEventListener('input', typed);
  addEventListener('resize', settle);
  offerSpare();
  draw();
  if (sheet.value.trim()) check();
}
