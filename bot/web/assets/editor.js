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
  const member = by('as-member'), kit = by('as-kit'), level = by('as-level');
  const spare = unsaved(date);
  const given = sheet.value;
  let problems = [];
  let timer = 0;
  let asked = 0;

  desk.classList.add('live');
  by('check').hidden = true;
  by('read-it').hidden = true;
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
      const response = await fetch('/coach/check?' + readers(), { method: 'POST', headers: { 'Content-Type': 'text/plain; charset=utf-8' }, body: sheet.value });
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
    by('length').textContent = found.length;
    tellWho(found);
    draw();
    tell();
  }

  // readers returns what the check is asked: the date, and for whom the sheet is to be shown.
  function readers() {
    const q = new URLSearchParams({ date, member: member.value, kit: kit.value, level: level.value });
    for (const box of document.querySelectorAll('#read-as input[name=limits]:checked')) q.append('limits', box.value);
    return q.toString();
  }

  // tellWho shows for whom the preview is, who has no way of doing what, and who gets what.
  function tellWho(found) {
    const as = found.as || {}, fits = found.fits || {};
    by('as-problems').replaceChildren(...(as.problems || []).map((p) => el('p', { class: 'stop' }, p)));
    by('as-who').textContent = as.who ? 'As read by ' + as.who : 'As written, with all the kit that the sheet asks for';
    const lacks = fits.no_fit || [];
    by('no-fit').replaceChildren(...(lacks.length ? [el('div', { class: 'care' },
      el('p', {}, el('strong', {}, 'Some members have no way of doing these:')),
      el('ul', {}, lacks.map((n) => el('li', {}, `${n.part}, ${n.movement}: `, el('span', { dir: 'auto' }, n.members.join(', '))))))] : []));
    by('who').hidden = !(fits.groups || []).length;
    by('fits').replaceChildren(...(fits.groups || []).map((g) => {
      const others = g.count - g.names.length;
      return el('tr', {},
        el('th', { scope: 'row' }, el('b', {}, String(g.count)), ' ',
          el('span', { dir: 'auto' }, g.names.join(', ') + (others ? ` and ${others} more` : '')), el('small', {}, g.fit),
          el('a', { href: `/coach/sheet/${date}?member=${encodeURIComponent(g.read)}#as-read`, 'data-read': g.read_name },
            'Read it so', el('span', { class: 'for-readers' }, ', as ' + g.read_name))),
        el('td', {}, g.changes.length ? g.changes.map((c) => el('p', {}, el('b', {}, c.part), ' ', c.what.join('; '))) : el('p', {}, 'Nothing: as written')));
    }));
    by('more-fits').textContent = fits.more ? `And ${fits.more} more fits, which are not looked at here.` : '';
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
  const later = () => {
    clearTimeout(timer);
    timer = setTimeout(check, pause);
  };
  by('read-as').addEventListener('input', later);
  form.addEventListener('submit', (e) => { // Enter in a field presses the hidden button: it reads, and nothing is stored
    if (e.submitter !== by('check')) return;
    e.preventDefault();
    check();
  });
  by('who').addEventListener('click', (e) => {
    const link = e.target.closest('[data-read]');
    if (!link) return;
    e.preventDefault(); // what is typed stays, and is read as that member
    member.value = link.dataset.read;
    check();
    by('as-read').scrollIntoView();
    preview.focus({ preventScroll: true });
  });
  addEventListener('resize', settle);
  offerSpare();
  draw();
  if (sheet.value.trim()) check();
}
