import { render } from "preact";
import { App } from "./app";

const page = document.getElementById("page")!;
page.replaceChildren();
render(<App />, page);
