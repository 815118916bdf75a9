// Starts what every page has, then the module of its place.

import * as adding from './adding.js';
import * as arrivals from './arrivals.js';
import * as edits from './edits.js';
import * as field from './field.js';
import * as find from './find.js';
import * as folds from './folds.js';
import * as foot from './foot.js';
import * as keymap from './keymap.js';
import * as keys from './keys.js';
import * as library from './library.js';
import * as live from './live.js';
import * as scheme from './scheme.js';
import * as bring from './bring.js';
import * as table from './table.js';
import * as telephone from './telephone.js';

scheme.start();
// Before all others that listen to keys: what an instrument types is none.
arrivals.start();
keymap.start();
keys.start();
library.start();
if (edits.dossier) {
  foot.start();
  field.start();
  adding.start();
  folds.start();
  find.start();
  live.start();
  telephone.start();
  bring.start();
  table.start();
  edits.send();
  const { module } = document.body.dataset;
  if (module) import(module).then(place => { place.start?.(); document.body.dataset.started = 'yes'; });
}
