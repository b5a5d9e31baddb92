// Enhancement of pages that work without it. Every part is told when a page has been put in place.
import { swapping } from "./swap.js";
import { drafts } from "./drafts.js";
import { pad } from "./pad.js";
import { timers } from "./timer.js";
import { small } from "./small.js";
import { signature } from "./signature.js";
import { share } from "./share.js";
import { ranges } from "./range.js";
import { ticks } from "./ticks.js";
import { traverse } from "./traverse.js";
import { photos } from "./photos.js";
import { live } from "./live.js";

const parts = [small, drafts, pad, timers, signature, share, ranges, ticks, traverse, photos, live];
const placed = () => parts.forEach((part) => part(document.getElementById("main")));
swapping(placed);
placed();
