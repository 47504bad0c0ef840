/** The trade's groups of a wall's kit, in the order in which it is packed. */
export const KIT_GROUPS = [
  ...(['rack', 'ropes', 'haul', 'shelter', 'water', 'cooking'] as const),
  ...(['clothes', 'light', 'safety', 'papers'] as const),
] as const;

/** One group of the kit. */
export type KitGroup = (typeof KIT_GROUPS)[number];

/** What each group is called. */
export const KIT_GROUP_NAMES: Readonly<Record<KitGroup, string>> = {
  rack: 'Rack',
  ropes: 'Ropes',
  haul: 'Hauling',
  shelter: 'Shelter',
  water: 'Water and food',
  cooking: 'Cooking',
  clothes: 'Clothes',
  light: 'Light and radio',
  safety: 'First aid and waste',
  papers: 'Papers',
};
