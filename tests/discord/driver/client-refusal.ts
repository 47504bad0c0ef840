/**
 * What Discord's own app would not have let a person do: an option that isn't there, a button that
 * is greyed out. In a test it is always the test, or the registered definition, that is wrong.
 */
export class ClientRefusal extends Error {
  override readonly name = 'ClientRefusal';
}

export function cannot(what: string): never {
  throw new ClientRefusal(`Discord's app would not allow this: ${what}`);
}
