"use strict";
// What is typed and not stored yet, kept on this device for one account: several drafts, each by the token of its form.

class Drafts {
  #name;
  #memory = []; // where the device keeps nothing, as long as the page lives

  constructor(user) {
    this.#name = `record ${user}`;
    this.kept = true;
    this.#write(this.all()); // finds out whether the device keeps anything
  }

  all() {
    if (!this.kept) return this.#memory;
    try {
      return JSON.parse(localStorage.getItem(this.#name) ?? "[]");
    } catch {
      return this.#memory;
    }
  }

  get(id) {
    return this.all().find((draft) => draft.id === id);
  }

  // Adds to what is kept of a draft; what is not named stays.
  put(id, values) {
    const drafts = this.all();
    const old = drafts.find((draft) => draft.id === id);
    if (old) Object.assign(old, values);
    else drafts.push({ id, ...values });
    this.#write(drafts);
  }

  drop(id) {
    this.#write(this.all().filter((draft) => draft.id !== id));
  }

  #write(drafts) {
    this.#memory = drafts;
    try {
      if (drafts.length) localStorage.setItem(this.#name, JSON.stringify(drafts));
      else {
        localStorage.setItem(this.#name, "[]");
        localStorage.removeItem(this.#name);
      }
      this.kept = true;
    } catch {
      this.kept = false; // full or refused
    }
  }
}

// The fields of a form as pairs, without what the next page brings anew.
const typedIn = (form, button) =>
  [...new FormData(form, button)].filter(([name]) => name !== "csrfmiddlewaretoken");

// Puts pairs back into a form's fields; a choice that is not offered any more stays one.
const fill = (form, pairs) => {
  const left = new Map();
  for (const [name, value] of pairs) left.set(name, [...(left.get(name) ?? []), value]);
  for (const field of form.elements) {
    const values = left.get(field.name);
    if (["checkbox", "radio"].includes(field.type)) field.checked = Boolean(values?.includes(field.value));
    else if (values && field.type !== "submit" && field.name !== "sheet") {
      const value = values.shift() ?? "";
      if (field.options && ![...field.options].some((option) => option.value === value)) field.add(new Option(value, value));
      field.value = value;
    }
  }
};
