import { CODES } from '../../say/contact/languages.ts';
import { wordsIn } from '../../say/contact/words.ts';

/** Where the two scripts of push messages are served. The worker's place is all of the site, so that every page may wait for it. */
export const SCRIPT_PATHS = { worker: '/push/worker.js', page: '/push/page.js' } as const;

/**
 * The service worker (W3C Push API and Notifications API): shows what came in and opens the page it speaks of. It
 * answers no request of any page. What came in carries its own words; where it can't be read, there are some in the
 * browser's language.
 */
export const WORKER = `'use strict';
const LOST = ${JSON.stringify(lostWords())};
const lost = LOST[navigator.language.slice(0, 2)] || LOST.en;
addEventListener('install', () => skipWaiting());
addEventListener('push', (event) => {
  let told = {};
  try { told = event.data.json(); } catch { told = {}; }
  event.waitUntil(registration.showNotification(told.title || lost.title, {
    body: told.body || lost.body,
    tag: told.tag || '',
    lang: told.lang || '',
    requireInteraction: told.stays === true,
    data: { url: told.url },
  }));
});
addEventListener('notificationclick', (event) => {
  event.notification.close();
  const { url } = event.notification.data || {};
  if (typeof url === 'string' && new URL(url).origin === location.origin) event.waitUntil(clients.openWindow(url));
});
`;

/**
 * Asks the browser's leave, subscribes with our key, and sends the form with what came of it. All words stand in
 * the page; this shows one of them.
 */
export const PAGE = `'use strict';
(() => {
  const box = document.getElementById('push');
  if (box === null) return;
  const form = box.querySelector('form');
  const tell = (what) => {
    for (const line of box.querySelectorAll('[data-say]')) line.hidden = line.dataset.say !== what;
  };
  const apple = /iPhone|iPad|iPod/.test(navigator.userAgent) || (navigator.platform === 'MacIntel' && navigator.maxTouchPoints > 1);
  if (!('serviceWorker' in navigator) || !('PushManager' in window) || !('Notification' in window)) {
    tell(apple ? 'apple' : 'cannot');
    return;
  }
  tell(Notification.permission === 'denied' ? 'denied' : '');
  form.hidden = false;
  const bytes = (text) => Uint8Array.from(atob(text.replace(/-/g, '+').replace(/_/g, '/')), (c) => c.charCodeAt(0));
  const key = bytes(box.dataset.key);
  const same = (a) => a !== null && a.byteLength === key.length && new Uint8Array(a).every((b, i) => b === key[i]);
  async function subscribe() {
    if ((await Notification.requestPermission()) !== 'granted') return tell('denied');
    tell('wait');
    await navigator.serviceWorker.register('${SCRIPT_PATHS.worker}', { scope: '/' });
    const { pushManager } = await navigator.serviceWorker.ready;
    const before = await pushManager.getSubscription();
    if (before !== null && !same(before.options.applicationServerKey)) await before.unsubscribe();
    const now = (await pushManager.getSubscription()) ||
      (await pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key }));
    const { endpoint, keys } = now.toJSON();
    form.elements.endpoint.value = endpoint;
    form.elements.p256dh.value = keys.p256dh;
    form.elements.auth.value = keys.auth;
    form.submit();
  }
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    subscribe().catch(() => tell('failed'));
  });
})();
`;

function lostWords() {
  return Object.fromEntries(
    CODES.map((language) => {
      const w = wordsIn(language);
      return [language, { title: w.text('push.lost'), body: w.text('push.lostLook') }];
    }),
  );
}
