// A photograph made small and upright by the browser's own decoder; nothing of what the camera wrote goes along.
export async function develop(bytes, longest, small, quality) {
  const picture = await createImageBitmap(new Blob([bytes]), {imageOrientation: 'from-image'});
  const drawn = async side => {
    const scale = Math.min(1, side / Math.max(picture.width, picture.height));
    const size = [picture.width, picture.height].map(n => Math.max(1, Math.round(n * scale)));
    const canvas = new OffscreenCanvas(...size), pen = canvas.getContext('2d');
    pen.fillStyle = 'white';
    pen.fillRect(0, 0, ...size);
    pen.imageSmoothingQuality = 'high';
    pen.drawImage(picture, 0, 0, ...size);
    const made = await canvas.convertToBlob({type: 'image/jpeg', quality});
    return {jpeg: new Uint8Array(await made.arrayBuffer()), width: size[0], height: size[1]};
  };
  try {
    return {...await drawn(longest), thumbnail: (await drawn(small)).jpeg, pixels: picture.width * picture.height};
  } finally {
    picture.close();
  }
}
