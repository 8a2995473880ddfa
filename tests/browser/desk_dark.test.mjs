// desk_dark.test.mjs: every page of the desk in its dark colours.
import { lookAtEveryPage } from "./every_page.mjs";

lookAtEveryPage("dark");
