/** What to do, step by step, for people who do not know what a file format is; by the code of a problem or caution. */
export const MEND: Readonly<Record<string, readonly string[]>> = {
  'picture-not-found': [
    'See whether the picture was handed in at all, and under which name: capitals, spaces and the ending (.jpg, .png) count.',
    'Hand it in under the name above, or have the name mended in the list.',
  ],
  'picture-is-folder': ['The list names a folder. Name the picture that lies in it.'],
  'picture-empty': [
    'The file has no contents: the copy was broken off. Copy it again from phone or computer.',
  ],
  'not-a-picture': [
    'Open the file on your computer. If it does not open as a picture, you have handed in another file: look for the right one.',
    'If it does open, save it from there as JPEG or PNG, and hand that in. Changing the ending of its name is not enough.',
  ],
  'picture-not-supported': [
    'Phones keep pictures in a format of their own. Send the picture as JPEG: in the settings of the camera choose the format that is most compatible, or open it on a computer and save it as JPEG.',
  ],
  'picture-corrupt': [
    'A part of the file is missing: it was cut short on its way. Send or copy it again, and wait until that is finished.',
    'Where the original does not open either, take another picture.',
  ],
  'picture-too-large': [
    'Make the picture smaller: 6,000 pixels along its longer side are enough for any plate here.',
  ],
  'picture-outside': [
    'The list names a picture that lies in a folder of its own. Tell whoever keeps the list: the picture belongs beside it.',
  ],
  'no-picture': ['The list does not say which picture is yours. Tell whoever keeps the list.'],
  'material-never': [
    'The material named gives off what harms people or the machine, so no plate is made of it.',
    'Choose another sheet together with the staff of the workshop, and have it written into the list.',
  ],
  'material-ask': [
    'Nobody has said yet that this sheet may be used. Ask the staff of the workshop, and show them the sheet, its backing and what it was bought as.',
    'What they say, with their name and the day, goes into the list (column material-confirmed). Where they say no, choose another sheet with them.',
  ],
  'picture-no-permission': [
    'The file is locked against reading. Whoever put it there must share it, or copy it again.',
  ],
  'bad-value': [
    'A value in the list is not understood. Tell whoever keeps the list; below is what may stand there.',
  ],
};
