/* Asks the page's own program: an answer is JSON, or the words of a refusal. */
export async function post(path, body) {
  return read(await fetch(path, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) }));
}

export async function read(answer) {
  const json = (answer.headers.get("content-type") ?? "").startsWith("application/json");
  return json ? answer.json() : { refused: (await answer.text()).trim() };
}
