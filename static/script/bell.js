// The worker behind notices: it only brings somebody to the clock whose notice was pressed.

self.addEventListener("notificationclick", (event) => {
  event.notification.close();
  const { href } = event.notification.data ?? {};
  if (!href) return;
  event.waitUntil(self.clients.matchAll({ type: "window", includeUncontrolled: true }).then((pages) => {
    const page = pages.find((each) => new URL(each.url).pathname === new URL(href, self.location).pathname);
    return page ? page.focus() : self.clients.openWindow(href);
  }));
});
