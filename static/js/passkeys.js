// Passkeys: hand the server's question or offer to the device, and send its answer.
//
// A form with `data-ask` wants an answer of a passkey there is, one with `data-offer` a
// new one. Both hold JSON in which bytes are base64url, and so does the answer.

const bytesOf = (text) =>
  Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (one) =>
    one.charCodeAt(0),
  );

const textOf = (buffer) =>
  btoa(String.fromCharCode(...new Uint8Array(buffer)))
    .replaceAll("+", "-")
    .replaceAll("/", "_")
    .replaceAll("=", "");

const named = (listed) => (listed ?? []).map((one) => ({ ...one, id: bytesOf(one.id) }));

function asked({ publicKey }) {
  return {
    publicKey: {
      ...publicKey,
      challenge: bytesOf(publicKey.challenge),
      allowCredentials: named(publicKey.allowCredentials),
    },
  };
}

function offered({ publicKey }) {
  return {
    publicKey: {
      ...publicKey,
      challenge: bytesOf(publicKey.challenge),
      user: { ...publicKey.user, id: bytesOf(publicKey.user.id) },
      excludeCredentials: named(publicKey.excludeCredentials),
    },
  };
}

function answered(credential) {
  const response = {};
  for (const name of [
    "clientDataJSON",
    "attestationObject",
    "authenticatorData",
    "signature",
    "userHandle",
  ]) {
    const value = credential.response[name];
    if (value) response[name] = textOf(value);
  }
  return {
    id: credential.id,
    rawId: textOf(credential.rawId),
    type: credential.type,
    response,
    clientExtensionResults: credential.getClientExtensionResults(),
  };
}

for (const button of document.querySelectorAll("button[data-passkey]")) {
  const form = button.form;
  const failed = form.querySelector("[data-passkey-failed]");
  button.hidden = false;
  button.addEventListener("click", async () => {
    failed.hidden = true;
    try {
      const { ask, offer } = form.dataset;
      const credential = offer
        ? await navigator.credentials.create(offered(JSON.parse(offer)))
        : await navigator.credentials.get(asked(JSON.parse(ask)));
      form.querySelector("[name^=passkey]").value = JSON.stringify(
        answered(credential),
      );
      form.submit();
    } catch {
      failed.hidden = false;
    }
  });
}
