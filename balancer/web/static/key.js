// The key of a QR code stands behind the # of the address, which no browser sends: put it into its field.
(() => {
  "use strict";
  const field = document.getElementById("key");
  const key = decodeURIComponent(location.hash.slice(1));
  if (!field || !/^[A-Z0-9-]{16,24}$/.test(key)) { return; }
  field.value = key;
  history.replaceState(null, "", location.pathname);
})();
