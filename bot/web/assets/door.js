// The coach comes in by link: the secret in the fragment is used, then taken out of the address.

import { join, pending, settle } from './join.js';

const text = document.getElementById('door-text');

async function enter() {
  const link = pending(localStorage, location.hash);
  if (!link) return;
  text.textContent = 'One moment: your link is being used.';
  const answer = await join(link.invite, link.key);
  if (answer.ok) {
    settle(localStorage);
    location.replace('/coach');
    return;
  }
  text.textContent = answer.text.replace('Ask your coach for a new one.', 'The server prints a new one when it starts.');
  if (answer.again) setTimeout(enter, 5000 + 5000 * Math.random());
  else settle(localStorage);
}

addEventListener('hashchange', enter);
enter();
