// The reply box: one line that grows. Enter sends where there is a keyboard; on a touch screen it is a new line, and the
// button sends.

export class ReplyBox {
  // send(text) returns whether the words were taken.
  constructor(form, send) {
    this.text = form.querySelector('textarea');
    this.like = form.querySelector('#like');
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      if (send(this.text.value)) this.fill('');
      this.text.focus();
    });
    this.text.addEventListener('input', () => this.grow());
    this.text.addEventListener('keydown', (event) => {
      const touch = matchMedia('(pointer: coarse)').matches;
      if (event.key !== 'Enter' || event.shiftKey || event.isComposing || touch) return;
      event.preventDefault();
      form.requestSubmit();
    });
  }

  fill(text) {
    this.text.value = text;
    this.grow();
  }

  // giveBack puts words back that were withdrawn, unless others were begun meanwhile.
  giveBack(text) {
    if (text && !this.text.value.trim()) this.fill(text);
    this.text.focus();
  }

  grow() {
    this.text.style.height = 'auto';
    this.text.style.height = this.text.scrollHeight + 4 + 'px';
  }

  // example shows how the next part could be answered; '' shows none.
  example(reply) {
    this.like.hidden = !reply;
    this.like.querySelector('code').textContent = reply;
  }

  // reachedBy lets a link lead to the box. The key that was pressed must not go on into it: wait until it is up, or,
  // without one, a short while.
  reachedBy(link) {
    link.addEventListener('click', (event) => {
      event.preventDefault();
      const focus = () => this.text.focus();
      if (event.detail > 0) {
        focus();
        return;
      }
      const soon = setTimeout(focus, 300);
      addEventListener('keyup', () => { clearTimeout(soon); focus(); }, { once: true });
    });
  }
}
