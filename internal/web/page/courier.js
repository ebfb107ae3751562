// Asks for the next frame, in a thread of its own: to send a request takes longer
// than to draw a picture on a slow machine.

onmessage = async ({ data: { path, body } }) => {
  try {
    const response = await fetch(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
    postMessage({ status: response.status, answer: await response.json() });
  } catch (e) {
    postMessage({ lost: String(e) });
  }
};
