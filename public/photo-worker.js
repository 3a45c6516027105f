// Makes a photo small, beside the page, so that the page stays quick and a
// picture that is too much for the phone cannot take the page down with it.
// Asked with {id, file, width, height}; answers {id, bytes, width, height} or
// {id, failed}. Drawing it anew leaves out everything but the pixels: no
// position, no camera, no time. The browser turns it upright.
"use strict";

self.onmessage = async ({ data: { id, file, width, height } }) => {
  let bitmap;
  try {
    bitmap = await createImageBitmap(file, { resizeWidth: width, resizeHeight: height, resizeQuality: "high" });
    const canvas = new OffscreenCanvas(width, height);
    const pen = canvas.getContext("2d", { alpha: false });
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, width, height);
    pen.drawImage(bitmap, 0, 0, width, height);
    const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.82 });
    const bytes = await blob.arrayBuffer();
    canvas.width = canvas.height = 1;
    self.postMessage({ id, bytes, width, height }, [bytes]);
  } catch (reason) {
    self.postMessage({ id, failed: String(reason && reason.name || reason) });
  } finally {
    if (bitmap) bitmap.close();
  }
};
