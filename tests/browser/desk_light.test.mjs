// desk_light.test.mjs: every page of the desk in its light colours.
import { lookAtEveryPage } from "./every_page.mjs";

lookAtEveryPage("light");
