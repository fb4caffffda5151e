// What is usual in a country fills the fields that nobody touched yet.

const country = document.querySelector("select[data-usual]");

if (country) {
  const form = country.form;
  const usual = JSON.parse(country.dataset.usual);
  const touched = new Set();
  form.addEventListener("input", (event) => {
    if (event.target !== country && event.isTrusted) touched.add(event.target.name);
  });
  country.addEventListener("change", () => {
    for (const [name, value] of Object.entries(usual[country.value] ?? {})) {
      const field = form.elements[name];
      if (!field || touched.has(name)) continue;
      if (field.type === "checkbox") field.checked = value;
      else field.value = value;
    }
  });
}
