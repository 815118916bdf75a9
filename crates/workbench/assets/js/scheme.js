// Light, dark, or as the system has it.

export function start() {
  let chosen = '';
  try { chosen = localStorage.getItem('scheme') ?? ''; } catch { /* As the system has it. */ }
  if (chosen) document.documentElement.dataset.scheme = chosen;
  const select = document.getElementById('scheme');
  if (!select) return;
  select.value = chosen;
  select.addEventListener('change', () => {
    if (select.value) document.documentElement.dataset.scheme = select.value;
    else delete document.documentElement.dataset.scheme;
    try { localStorage.setItem('scheme', select.value); } catch { /* For this page alone. */ }
  });
}
