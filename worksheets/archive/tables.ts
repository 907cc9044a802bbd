import type { Generated } from 'kysely';

/** The tables as Kysely sees them. `text` columns named in the comment hold canonical JSON. */
export interface Tables {
  club: {
    id: Generated<number>;
    platform_id: string;
    /** Counters live here so that one statement on this row takes the club's lock on every engine. */
    setups: Generated<number>;
    changes: Generated<number>;
    /** Hash of the newest audit row: the chain's end, so that a cut-off tail is noticed. */
    audit_hash: Generated<string>;
    at: number;
  };
  member: { id: Generated<number>; club_id: number; platform_id: string; name: string; at: number };
  /** `runs` counts them, the removed ones too. */
  truck: { id: Generated<number>; member_id: number; name: string; name_key: string; at: number; runs: Generated<number> };
  /**
   * What was given, told, kept or forgotten of a truck; never changed. JSON: value. `sheet` and `end` are '' where there is none. `kept` 0: given
   * to a sheet, for the time of a conversation. `gone`: this fact, or what was given of it, counts no more from here on.
   */
  reading: {
    id: Generated<number>;
    truck_id: number;
    fact: string;
    name: string;
    typed: string;
    said: string | null;
    value: string;
    uncertainty: number | null;
    unit: string | null;
    note: string | null;
    how: string;
    kept: number;
    gone: number;
    sheet: string;
    end: string;
    member_id: number;
    given_at: number;
    at: number;
  };
  /** A line of a truck's parts list; never changed, the newest of a name counts. JSON: place, places. */
  part: {
    id: Generated<number>;
    truck_id: number;
    name: string;
    name_key: string;
    count: number;
    typed: string;
    mass: number;
    uncertainty: number | null;
    place: string;
    places: string;
    sprung: number;
    axle: string;
    role: string;
    note: string;
    gone: number;
    member_id: number;
    at: number;
  };
  /** What the club has; never changed, the newest of a kind and name counts. JSON: detail. Kg, N/m, m²/s, teeth, m. */
  thing: {
    id: Generated<number>;
    club_id: number;
    kind: string;
    name: string;
    name_key: string;
    typed: string | null;
    value: number | null;
    uncertainty: number | null;
    how: string;
    detail: string;
    note: string;
    owner_id: number | null;
    lent_to: string | null;
    lent_id: number | null;
    lent_at: number | null;
    gone: number;
    member_id: number;
    at: number;
  };
  /** Never changed. JSON: temperatures, laps, changes. `readings_to` and `parts_to`: the truck's last rows at that moment. */
  run: {
    id: Generated<number>;
    truck_id: number;
    number: number;
    typed: string;
    minutes: number | null;
    temperatures: string;
    laps: string;
    changes: string;
    felt: string;
    track: string | null;
    readings_to: number;
    parts_to: number;
    member_id: number;
    at: number;
  };
  current_truck: { member_id: number; truck_id: number };
  offer: { truck_id: number; member_id: number; at: number };
  /** The last answer of a sheet. JSON: readings, answer. */
  latest: { truck_id: number; sheet: string; end: string; readings: string; answer: string; at: number };
  /** The newest revision's facets, copied out for lists. JSON: tags, sheets. */
  setup: {
    id: Generated<number>;
    club_id: number;
    number: number;
    truck_id: number;
    name: string;
    name_key: string;
    notes: string;
    tags: string;
    sheets: string;
    rev: number;
    at: number;
    private: Generated<number>;
    /** Taken away by its owner; the number stays. */
    gone: Generated<number>;
  };
  /** Worked out from the newest revision: its numbers, SI. */
  setup_number: { setup_id: number; club_id: number; name: string; end: string; value: number };
  /** Worked out from the newest revision: folded. */
  setup_facet: { setup_id: number; club_id: number; facet: string; value: string };
  officer: { member_id: number; at: number };
  share: { hash: string; setup_id: number; rev: number; named: number; at: number };
  /** JSON: doc. Never changed, never removed. */
  revision: { setup_id: number; rev: number; parent_hash: string | null; hash: string; doc: string; author_id: number; at: number };
  /** Lossy WebP in the simple container, by the SHA-256 of its bytes. Never changed. */
  picture: { club_id: number; hash: string; bytes: Uint8Array; at: number };
  /** What a revision shows, in order. Never changed, removed only with its setup. */
  revision_picture: { setup_id: number; rev: number; number: number; club_id: number; hash: string };
  /** JSON: result. */
  interaction: { club_id: number; id: string; result: string; at: number };
  /** JSON: detail. Ids and hashes only, so that a member's words can be taken out elsewhere and the chain still holds. */
  audit: { club_id: number; change: number; at: number; member_id: number | null; act: string; detail: string; hash: string };
}
