// Elements of a page, made in one call.

export const node = (name, attributes = {}, ...children) => {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (key === 'class') made.className = value;
    else if (key === 'text') made.textContent = value;
    else made.setAttribute(key, value === true ? '' : value);
  }
  made.append(...children.filter(child => child !== null && child !== undefined));
  return made;
};
