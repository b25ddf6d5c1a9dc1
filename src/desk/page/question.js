// A question with a few answers.

/** Asks; the answer that was chosen, the last where none was. */
export function question(words, answers) {
  const dialog = document.getElementById("question");
  document.getElementById("question-words").textContent = words;
  const buttons = answers.map((answer) => Object.assign(document.createElement("button"), {
    textContent: answer, value: answer,
  }));
  document.getElementById("question-answers").replaceChildren(...buttons);
  return new Promise((done) => {
    dialog.addEventListener("close", () => done(dialog.returnValue || answers.at(-1)), { once: true });
    dialog.returnValue = "";
    dialog.showModal();
  });
}
