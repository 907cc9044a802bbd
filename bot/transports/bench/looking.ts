import type { Archive } from '../../../worksheets/archive/types.ts';

/**
 * The archive for a look: it reads and keeps nothing. GET has to be safe (RFC 9110, 9.2.1: a browser may fetch an address ahead, again, or
 * from a bookmark), and every answer goes through the same commands, which would keep it.
 */
export function lookOnly(archive: Archive): Archive {
  const never = (what: string) => async (): Promise<never> => {
    throw new Error(`${what}: a look keeps nothing, so a page that only shows has no business here`);
  };
  return {
    trucks: (whose) => archive.trucks(whose),
    facts: (which) => archive.facts(which),
    latest: (which) => archive.latest(which),
    findSetups: (what) => archive.findSetups(what),
    showSetup: (which) => archive.showSetup(which),
    setupHistory: (which) => archive.setupHistory(which),
    pictures: (which) => archive.pictures(which),
    setupByCode: (code) => archive.setupByCode(code),
    isOfficer: (who) => archive.isOfficer(who),
    officers: (which) => archive.officers(which),
    clubLog: (what) => archive.clubLog(what),
    exportMine: (who) => archive.exportMine(who),
    currentTruck: (whose) => archive.currentTruck(whose),
    truckBook: (which) => archive.truckBook(which),
    parts: (which) => archive.parts(which),
    truckList: (whose) => archive.truckList(whose),
    members: (which) => archive.members(which),
    memberCalled: (who) => archive.memberCalled(who),
    factHistory: (which) => archive.factHistory(which),
    things: (which) => archive.things(which),
    runs: (which) => archive.runs(which),
    verify: (which) => archive.verify(which),
    remember: async ({ truck }) => ({ kind: 'remembered', truck, at: 0 }),
    saveSetup: never('saveSetup'),
    importSetup: never('importSetup'),
    addPicture: never('addPicture'),
    takePicture: never('takePicture'),
    setPrivate: never('setPrivate'),
    restoreSetup: never('restoreSetup'),
    removeSetup: never('removeSetup'),
    copySetup: never('copySetup'),
    shareSetup: never('shareSetup'),
    endSharing: never('endSharing'),
    nameOfficer: never('nameOfficer'),
    deleteMine: never('deleteMine'),
    useTruck: never('useTruck'),
    keepFacts: never('keepFacts'),
    setFacts: never('setFacts'),
    forgetFact: never('forgetFact'),
    renewAnswers: never('renewAnswers'),
    offerTruck: never('offerTruck'),
    takeTruck: never('takeTruck'),
    renameTruck: never('renameTruck'),
    removeTruck: never('removeTruck'),
    putPart: never('putPart'),
    removePart: never('removePart'),
    putThing: never('putThing'),
    lendThing: never('lendThing'),
    removeThing: never('removeThing'),
    addRun: never('addRun'),
    removeRun: never('removeRun'),
    once: never('once'),
    close: never('close'),
  };
}
