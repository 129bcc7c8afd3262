// Building elements without ever reading text as HTML.

// el makes an element: el('p', {class: 'hint'}, 'text', child, ['more', 'children']). null and '' children are skipped.
export function el(name, attributes, ...children) {
  const node = document.createElement(name);
  for (const [key, value] of Object.entries(attributes || {})) {
    if (value === true) node.setAttribute(key, '');
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(key, value);
  }
  for (const child of children.flat(3)) {
    if (child !== null && child !== undefined && child !== '' && child !== false) node.append(child);
  }
  return node;
}

// linked returns text as nodes, with http and https addresses as links.
export function linked(text) {
  const out = [];
  let from = 0;
  for (const m of text.matchAll(/https?:\/\/[^\s<>"]+[^\s<>".,;:!?)\]]/g)) {
    out.push(text.slice(from, m.index), el('a', { href: m[0], rel: 'noreferrer noopener', target: '_blank' }, m[0]));
    from = m.index + m[0].length;
  }
  out.push(text.slice(from));
  return out;
}
