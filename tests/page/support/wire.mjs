// A wire between browser and daemon that can be cut and mended.
import { connect, createServer } from "node:net";

export async function layWire(toPort) {
  const ends = new Set();
  let isCut = false;
  const server = createServer((near) => {
    if (isCut) return near.destroy();
    const far = connect(toPort, "127.0.0.1");
    for (const end of [near, far]) {
      ends.add(end);
      end.on("error", () => end.destroy());
      end.on("close", () => {
        ends.delete(end);
        near.destroy();
        far.destroy();
      });
    }
    near.pipe(far).pipe(near);
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  return {
    url: `http://127.0.0.1:${server.address().port}`,
    cut() {
      isCut = true;
      for (const end of ends) end.destroy();
    },
    mend() {
      isCut = false;
    },
    close() {
      this.cut();
      server.close();
    },
  };
}
