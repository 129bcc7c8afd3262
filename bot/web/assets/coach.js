// What the coach's pages gain from a script: copy buttons, and the sheet checked as it is typed.

import { startEditor } from './editor.js';

for (const button of document.querySelectorAll('[data-copy]')) {
  button.hidden = false;
  button.addEventListener('click', async () => {
    const field = document.getElementById(button.dataset.copy);
    field.select();
    try {
      await navigator.clipboard.writeText(field.value);
    } catch {
      document.execCommand('copy');
    }
    button.firstChild.textContent = 'Copied';
  });
}

if (document.getElementById('desk')) startEditor();
