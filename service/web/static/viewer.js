"use strict";

const dark = matchMedia("(prefers-color-scheme: dark)");
const dim = () => document.documentElement.classList.toggle("dark-mode", dark.matches);
dark.addEventListener("change", dim);
dim();

// The description is this service's own, so no address may name another one.
SwaggerUIBundle({
  url: "/openapi.json",
  dom_id: "#viewer",
  deepLinking: true,
  docExpansion: "none",
  defaultModelsExpandDepth: 0,
  filter: true,
  validatorUrl: null,
  queryConfigEnabled: false,
});
