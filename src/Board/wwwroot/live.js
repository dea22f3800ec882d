// All script of our own: the theme switch, and a live page that finds its way back after the service was away.
(() => {
  const root = document.documentElement;

  const dark = () => root.dataset.theme === 'dark'
    || (root.dataset.theme === 'auto' && matchMedia('(prefers-color-scheme: dark)').matches);

  document.addEventListener('click', event => {
    if (event.target.closest('.skip')) {
      event.preventDefault();
      document.getElementById('main').focus();
    }
    if (event.target.closest('[data-theme-switch]')) {
      root.dataset.theme = dark() ? 'light' : 'dark';
      document.cookie = `theme=${root.dataset.theme}; path=/; max-age=31536000; samesite=strict`;
    }
  });

  // On a phone the navigation scrolls: where one is must be in sight.
  document.querySelector('.masthead [aria-current="page"]')?.scrollIntoView({ inline: 'center', block: 'nearest', behavior: 'instant' });

  // The code of a one-time link stands behind the #: it is not sent with the address, only with the form.
  const field = document.querySelector('[data-from-hash]');
  if (field && location.hash.length > 1) {
    field.value = location.hash.slice(1);
    history.replaceState(null, '', location.pathname);
  }

  // A screen on the wall has nobody to press a button: it tries until the service answers, then loads the page anew.
  let waiting = false;
  const comeBack = async () => {
    if (waiting) return;
    waiting = true;
    document.getElementById('components-reconnect-modal')?.classList.add('is-shown');
    root.dataset.lost = ''; // what stands there is old: cards are hatched, nothing looks live
    for (let pause = 250; ; pause = Math.min(pause * 2, 4000)) {
      await new Promise(done => setTimeout(done, pause));
      try {
        const answer = await fetch('/board/here', { cache: 'no-store' });
        if (answer.ok) { location.reload(); return; }
      } catch { /* not yet */ }
    }
  };

  Blazor.start({
    circuit: {
      reconnectionHandler: { onConnectionDown: comeBack, onConnectionUp: () => {} },
    },
  });
})();
