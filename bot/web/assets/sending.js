// Sending is what happens to words between the reply box and their answer: they wait in the outbox, go out one at a time
// under an id of their own, and go out again under the same id until the server has answered, before anything newer.

const kindly = {
  not_saved: 'Not saved yet. It is sent again by itself.',
  too_fast: 'That was quick. It is sent again in a moment.',
  too_long: 'This is too long for one message. Please send it in two.',
  id_reused: 'This could not be sent under its number. Please write it again.',
  bad_frame: 'The server could not read this. Please write it in other words.',
};

export class Sending {
  // on has: outbox, log, wire; complain(text) says what concerns no single message; rewrite(text) gives words back to
  // the reply box.
  constructor(on) {
    this.on = on;
    this.ready = false; // the server has said whose connection this is
    this.inFlight = '';
    this.retry = 0;
    this.tries = 0;
  }

  // queue takes words in and returns the element that shows them.
  queue(text) {
    const item = this.on.outbox.add(text, new Date());
    const node = this.show(item);
    this.next();
    return node;
  }

  // next sends the oldest words that wait, if nothing else is on its way.
  next() {
    if (!this.ready || this.inFlight || this.retry) return;
    const item = this.on.outbox.next();
    if (!item || !this.on.wire.send({ type: 'say', id: item.id, text: item.text }, true)) return;
    this.inFlight = item.id;
    if (!item.tried) this.on.outbox.mark(item.id, { tried: true });
    this.show({ ...item, tried: true });
  }

  // connected and cut follow the connection.
  connected() {
    this.ready = true;
    this.next();
  }

  cut() {
    this.ready = false;
    this.inFlight = '';
    this.on.outbox.items().forEach((item) => this.show(item));
  }

  // answered ends the waiting of the words with that id.
  answered(id) {
    this.on.outbox.remove(id);
    this.on.log.settled(id);
    if (this.inFlight === id) this.inFlight = '';
    this.on.wire.answered();
    this.tries = 0;
  }

  show(item) {
    const { log } = this.on;
    if (item.held) {
      return log.wait(item, item.held, [['Write it again', () => this.takeBack(item, true)], ['Leave it', () => this.takeBack(item, false)]]);
    }
    if (this.inFlight === item.id) return log.wait(item, 'Sending …');
    return log.wait(item, 'Waiting to be sent', item.tried ? [] : [['Take it back', () => this.takeBack(item, true)]]);
  }

  // takeBack withdraws words that were never sent, or that the server refused.
  takeBack(item, rewrite) {
    const now = this.on.outbox.items().find((i) => i.id === item.id);
    if (!now || (now.tried && !now.held)) return;
    this.on.outbox.remove(item.id);
    this.on.log.settled(item.id);
    this.on.rewrite(rewrite ? item.text : '');
  }

  problem(p) {
    const item = this.on.outbox.items().find((i) => i.id === (p.re || this.inFlight));
    if (!item) {
      this.on.complain(p.text || kindly[p.code] || 'Something went wrong.');
      return;
    }
    this.on.wire.answered();
    if (this.inFlight === item.id) this.inFlight = '';
    if (p.code === 'not_saved' || p.code === 'too_fast') {
      this.on.log.wait(item, kindly[p.code]);
      this.again();
      return;
    }
    const held = kindly[p.code] || p.text;
    this.on.outbox.mark(item.id, { held });
    this.show({ ...item, held });
    this.next();
  }

  // again waits before the next attempt, longer each time.
  again() {
    clearTimeout(this.retry);
    this.retry = setTimeout(() => {
      this.retry = 0;
      this.next();
    }, Math.min(30000, 1000 * 2 ** this.tries++) * (0.5 + Math.random() / 2));
  }

  // elsewhere takes over what another page of the same member did to the outbox.
  elsewhere() {
    const items = this.on.outbox.items();
    for (const id of [...this.on.log.pending.keys()]) if (!items.some((i) => i.id === id)) this.on.log.settled(id);
    items.forEach((item) => this.show(item));
    this.next();
  }
}
